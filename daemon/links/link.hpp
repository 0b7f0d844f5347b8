#pragma once

#include "guard.hpp"

#include <slotwitness/units/time.hpp>

#include <boost/asio/awaitable.hpp>
#include <tl/expected.hpp>

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::links {

/// What went wrong on the way to a chassis, by what the caller does next.
struct LinkError {
    enum class Kind {
        unreachable, ///< no address, refused, no route: back off and connect again
        host_key,  ///< unknown or changed: an operator must compare; `text` carries the fingerprint
        own_files, ///< a key, secret or list of ours cannot be read: an operator must mend
        bastion,   ///< a bastion refused our credential; nothing further is tried there
        credential,   ///< the device refused it: each further attempt counts towards a lock
        locked,       ///< the device says that the account is locked
        aaa,          ///< the device does not reach who decides about accounts: connect again
        no_line,      ///< all sessions that the device grants are in use: connect again
        session_lost, ///< the session is gone: connect again
        timed_out,    ///< a wait ended; the session is closed
        refused, ///< the device refused the channel or the exec request; the session may live on
        misuse,  ///< our defect
    };
    Kind kind = Kind::unreachable;
    std::string text; ///< one sentence with the remedy
};
[[nodiscard]] std::string_view to_word(LinkError::Kind kind);
/// The device would count a further attempt: a person decides about it.
[[nodiscard]] bool is_for_people(LinkError::Kind kind);

/// What came back for one query.
struct Answer {
    std::string bytes;              ///< standard output, raw
    std::string errors;             ///< standard error, raw
    bool ended = false;             ///< EOF was seen
    std::optional<int> exit_status; ///< as the server told it
    std::string remark; ///< why it was cut or refused, for a person; empty if it was not
};
/// Why it is not whole, for a person: cut, refused by the device; empty if it is.
[[nodiscard]] std::string why_not_whole(const Answer& answer);

/// Names as the protocol has them, best first. An empty list stands for ours.
struct Algorithms {
    std::vector<std::string> key_exchange, host_keys, ciphers, macs;
};

/// What a session uses: `to` and `from` the device.
struct Agreed {
    std::string key_exchange, host_key, cipher_to, cipher_from, mac_to, mac_from;
    /// Those of them that nobody should use today, each once.
    [[nodiscard]] std::vector<std::string> weak() const;
};

/// What a session turned out to be.
struct Reached {
    std::string address;  ///< "host:port", with the bastions on the way
    std::string host_key; ///< "SHA256:…"
    Agreed agreed;
};

/// Where and how; nothing in it is asked of a person.
struct Target {
    std::string host; ///< name or address
    /// Further ones of the same chassis, such as its other controller's; tried in order where one
    /// before gives no session.
    std::vector<std::string> also_at;
    std::uint16_t port = 22;
    std::string user;
    std::string key_file; ///< private key in OpenSSH or PEM form; empty: none. With an agent the
                          ///< public half of the key that it holds
    std::string agent;    ///< socket of an SSH agent that signs with that key; empty: none
    std::string passphrase_file; ///< holds the key's passphrase; empty: it has none
    /// Holds the password, for the methods keyboard-interactive and password; empty: none. It is
    /// tried where there is no key, or where the device wants both.
    std::string password_file;
    std::string known_hosts; ///< OpenSSH's file format; the only source of trust, unless …
    std::vector<std::string> host_keys; ///< "SHA256:…": … these fingerprints stand in its place
    Algorithms algorithms;
    profiles::Refusals refusals; ///< how the device says that it refuses
    units::Duration connect_timeout{
        10'000}; ///< for resolving, TCP, handshake, authentication: each phase
    units::Duration keep_alive{15'000}; ///< between signs of life on an idle session
};

/// A jump host on the way to a chassis, and who we are there.
struct Hop {
    std::string name; ///< for messages
    Target target;
};

/// One session to one chassis. All of it runs on one strand; one call at a time unless said
/// otherwise.
class Link {
  public:
    virtual ~Link() = default;
    /// Resolves, connects, checks the host key against the store, authenticates. No retry inside.
    [[nodiscard]] virtual boost::asio::awaitable<tl::expected<void, LinkError>> connect() = 0;
    [[nodiscard]] virtual bool connected() const = 0;
    /// What the newest session came to; nothing before the first one, or where there is no such
    /// thing.
    [[nodiscard]] virtual std::optional<Reached> reached() const { return std::nullopt; }
    /// Sends one query on a channel of its own and collects its answer. Up to `parallel` calls at
    /// once. An answer over `longest_answer` bytes, or one that the timeout cuts, comes back not
    /// ended.
    [[nodiscard]] virtual boost::asio::awaitable<tl::expected<Answer, LinkError>>
    ask(ApprovedQuery query) = 0;
    /// A person says that a credential which was refused on the way may be tried again.
    virtual void forgive() {}
    /// Closes in good order; never throws, never blocks. Cancels what is under way.
    virtual void close() = 0;
};

struct Limits {
    units::Duration timeout{15'000};
    std::size_t longest_answer = 1 << 20;
    /// Channels at once, those that the device has not closed yet included: a query over the number
    /// is misuse, one that finds such a channel waits for it. A server may free its own place a
    /// moment after it closed, so let it allow one more than this.
    std::size_t parallel = 1;
    /// A command of its own for each query, rpcs in one NETCONF session, or lines in one shell.
    profiles::Reach::By by = profiles::Reach::By::command;
    std::shared_ptr<const ApprovedShell> shell{}; ///< by shell alone
};

class Bastion;

/// A link over libssh. `executor` is the strand it lives on, and the bastion with it.
[[nodiscard]] std::unique_ptr<Link> make_ssh_link(boost::asio::any_io_executor executor,
                                                  Target target, Limits limits,
                                                  std::shared_ptr<Bastion> through = nullptr);

/// Once before the first link: refuses a libssh older than 0.10.6, ignores SIGPIPE.
[[nodiscard]] tl::expected<void, std::string> prepare_ssh();

/// Waits between connection attempts: doubles from `first` to `longest`, with jitter from the given
/// uniform number in [0, 1): the wait is between half and the whole of the step. Pure.
[[nodiscard]] units::Duration back_off(unsigned attempt, units::Duration first,
                                       units::Duration longest, double uniform);

} // namespace slotwitness::links
