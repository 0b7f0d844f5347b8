#pragma once

#include "bell.hpp"
#include "errand.hpp"
#include "link.hpp"

#include <boost/asio/generic/stream_protocol.hpp>
#include <boost/asio/steady_timer.hpp>

#include <functional>
#include <list>
#include <memory>
#include <optional>
#include <string_view>

struct ssh_session_struct;
struct ssh_event_struct;
struct ssh_counter_struct;

namespace slotwitness::links {

class Channel;

/// What a session speaks over: a TCP connection, or a local socket at the end of a way through
/// bastions.
using Stream = boost::asio::generic::stream_protocol::socket;

/// "host:port"
[[nodiscard]] std::string place_of(const Target& target);

/// Somebody who lives on a session and has libssh's channels there. Both are called by the session
/// alone, never from within libssh.
class Tenant {
  public:
    virtual ~Tenant() = default;
    /// Something may have moved. False when it wants nothing more of the session.
    [[nodiscard]] virtual bool advance() = 0;
    /// The last moment to free what is libssh's.
    virtual void session_ends(const LinkError& why) = 0;
};

/// One libssh session without a blocking call: it owns the socket, waits for it on the event loop
/// and feeds libssh when bytes come. Coroutines that use it hold it by shared pointer. One strand.
///
/// It never comes back to life: a new connection is a new session.
class Session : public std::enable_shared_from_this<Session> {
  public:
    Session(boost::asio::any_io_executor executor, std::string where, units::Duration keep_alive);
    ~Session();
    Session(const Session&) = delete;
    Session& operator=(const Session&) = delete;

    /// Takes a connected socket over and gives libssh a descriptor of its own to it.
    [[nodiscard]] tl::expected<void, LinkError> adopt(Stream stream);
    /// After authentication: from now on arriving bytes are read as they come, and silence is
    /// probed.
    void serve();

    [[nodiscard]] bool alive() const { return !end_; }
    [[nodiscard]] bool serving() const { return alive() && event_ != nullptr; }
    /// Why it ended; only if not alive.
    [[nodiscard]] const LinkError& why() const { return *end_; }
    /// "host:port through bastions", for messages.
    [[nodiscard]] const std::string& where() const { return where_; }
    [[nodiscard]] const boost::asio::any_io_executor& executor() const { return executor_; }
    [[nodiscard]] ssh_session_struct* ssh() const { return ssh_; }
    /// How the device says that it refuses.
    [[nodiscard]] const profiles::Refusals& refusals() const { return refusals_; }
    void expect(profiles::Refusals refusals) { refusals_ = std::move(refusals); }
    /// What both sides agreed upon, once keys are exchanged.
    [[nodiscard]] const std::optional<Agreed>& agreed() const { return agreed_; }
    void note(Agreed agreed) { agreed_ = std::move(agreed); }
    /// The fingerprint of the host key, once it is trusted.
    [[nodiscard]] const std::string& host_key() const { return host_key_; }
    void trust(std::string host_key) { host_key_ = std::move(host_key); }
    /// What libssh last complained about.
    [[nodiscard]] std::string complaint() const;

    /// Repeats one and the same libssh call until it has a result other than SSH_AGAIN, and returns
    /// that. When the deadline comes first the session ends, since libssh cannot take a call back.
    /// `doing` completes "timed out while …".
    [[nodiscard]] boost::asio::awaitable<tl::expected<int, LinkError>>
    until(Deadline deadline, std::string_view doing, std::function<int()> call);

    /// The same for a call that may block: it runs on a thread of its own, and nothing else touches
    /// libssh meanwhile. `unblock` makes it return; it comes where the session ends first.
    [[nodiscard]] boost::asio::awaitable<tl::expected<int, LinkError>>
    until_elsewhere(Deadline deadline, std::string_view doing, std::function<int()> call,
                    std::function<void()> unblock);

    [[nodiscard]] boost::asio::awaitable<Bell::Woken> wait(Deadline deadline);
    void ring() { bell_.ring(); }
    /// Reads what has arrived. Ends the session if the peer has.
    void pump();

    /// Channels in use, and those given back that the device has not closed yet.
    [[nodiscard]] std::size_t channels_in_use() const { return channels_.size(); }
    [[nodiscard]] std::size_t channels_closing() const { return retiring_.size(); }
    [[nodiscard]] std::shared_ptr<Channel> open_channel(std::size_t longest_answer);
    /// Closes the channel and frees it once the device has closed its side, without anybody
    /// waiting.
    void retire(const std::shared_ptr<Channel>& channel);

    /// From now on it is told what moves, until it wants nothing more.
    void take_in(std::shared_ptr<Tenant> tenant) { tenants_.push_back(std::move(tenant)); }

    /// Ends the session for this reason and wakes all who wait. The first reason stays.
    void end(LinkError reason);

  private:
    int enter(const std::function<int()>& call);
    [[nodiscard]] bool closed_by_peer() const;
    void end_if_closed();
    [[nodiscard]] bool is_over(int result);
    [[nodiscard]] tl::expected<int, LinkError> late(std::string_view doing);
    /// Why nothing more is waited for; nothing if it was rung.
    [[nodiscard]] std::optional<LinkError> ended_by(Bell::Woken woken, std::string_view doing);
    void recall();
    void arm();
    void wait_for(boost::asio::socket_base::wait_type what, bool& armed);
    void advance_retiring();
    void watch_silence();
    void judge_silence();
    [[nodiscard]] std::uint64_t bytes_in() const;

    boost::asio::any_io_executor executor_;
    std::string where_;
    units::Duration keep_alive_;
    Bell bell_;
    std::optional<Stream> socket_;
    ssh_session_struct* ssh_ = nullptr;
    ssh_event_struct* event_ = nullptr; ///< from `serve` on
    std::unique_ptr<ssh_counter_struct> counter_;
    std::list<std::shared_ptr<Channel>> channels_;
    std::list<std::shared_ptr<Channel>> retiring_;
    std::vector<std::shared_ptr<Tenant>> tenants_;
    std::optional<Agreed> agreed_;
    std::string host_key_;
    profiles::Refusals refusals_;
    std::shared_ptr<Errand> errand_; ///< while libssh is on another thread
    std::optional<LinkError> end_;
    bool read_armed_ = false;
    bool write_armed_ = false;
    boost::asio::steady_timer silence_;
    std::uint64_t bytes_at_probe_ = 0;
    bool probing_ = false;
};

/// What a coroutine returns that is being cancelled by its caller.
[[nodiscard]] LinkError cancelled(const Session& session);

} // namespace slotwitness::links
