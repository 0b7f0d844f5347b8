#include "handshake.hpp"

#include "algorithms.hpp"
#include "authentication.hpp"
#include "dial.hpp"
#include "known_hosts.hpp"

#include <slotwitness/state/problem.hpp>

#include <libssh/libssh.h>

#include <algorithm>

namespace slotwitness::links {

namespace asio = boost::asio;
using Kind = LinkError::Kind;
using Clock = std::chrono::steady_clock;

namespace {

std::string joined(const algorithms::Names& names) {
    std::string text;
    for (const auto name : names) {
        text.append(text.empty() ? "" : ",").append(name);
    }
    return text;
}

/// The signature algorithms for a type of host key; RSA keys sign with SHA-2 only (RFC 8332).
bool signs_with(std::string_view key_type, std::string_view algorithm) {
    return key_type == "ssh-rsa" ? algorithm.starts_with("rsa-sha2-") : key_type == algorithm;
}

/// Types that the store knows for this host come first: a server with several keys then shows one
/// that can be compared.
algorithms::Names host_key_order(const std::vector<std::string>& known) {
    auto order = algorithms::host_keys;
    std::stable_partition(order.begin(), order.end(), [&known](std::string_view algorithm) {
        return std::any_of(known.begin(), known.end(), [algorithm](const std::string& type) {
            return signs_with(type, algorithm);
        });
    });
    return order;
}

bool set(ssh_session ssh, ssh_options_e option, const std::string& value) {
    return ssh_options_set(ssh, option, value.c_str()) == SSH_OK;
}

/// Everything that libssh would otherwise look for in the account's files and environment is said
/// here.
bool configure(ssh_session ssh, const Target& target, const std::vector<std::string>& known_types) {
    const int no = 0;
    const int smallest_rsa = 2048;
    const unsigned port = target.port;
    return ssh_options_set(ssh, SSH_OPTIONS_PROCESS_CONFIG, &no) == SSH_OK &&
           set(ssh, SSH_OPTIONS_SSH_DIR, "/nonexistent") &&
           set(ssh, SSH_OPTIONS_USER, target.user) && set(ssh, SSH_OPTIONS_HOST, target.host) &&
           ssh_options_set(ssh, SSH_OPTIONS_PORT, &port) == SSH_OK &&
           set(ssh, SSH_OPTIONS_KNOWNHOSTS, "/dev/null") &&
           set(ssh, SSH_OPTIONS_GLOBAL_KNOWNHOSTS, "/dev/null") &&
           set(ssh, SSH_OPTIONS_KEY_EXCHANGE, joined(algorithms::key_exchange)) &&
           set(ssh, SSH_OPTIONS_HOSTKEYS, joined(host_key_order(known_types))) &&
           set(ssh, SSH_OPTIONS_CIPHERS_C_S, joined(algorithms::ciphers)) &&
           set(ssh, SSH_OPTIONS_CIPHERS_S_C, joined(algorithms::ciphers)) &&
           set(ssh, SSH_OPTIONS_HMAC_C_S, joined(algorithms::macs)) &&
           set(ssh, SSH_OPTIONS_HMAC_S_C, joined(algorithms::macs)) &&
           set(ssh, SSH_OPTIONS_COMPRESSION, "no") &&
           set(ssh, SSH_OPTIONS_PUBLICKEY_ACCEPTED_TYPES, joined(algorithms::host_keys)) &&
           ssh_options_set(ssh, SSH_OPTIONS_RSA_MIN_SIZE, &smallest_rsa) == SSH_OK;
}

struct FreeText {
    void operator()(char* text) const { ssh_string_free_char(text); }
};
using Text = std::unique_ptr<char, FreeText>;

/// "SHA256:…", as ssh-keygen -l prints it.
std::string fingerprint(ssh_key key) {
    unsigned char* hash = nullptr;
    std::size_t length = 0;
    if (ssh_get_publickey_hash(key, SSH_PUBLICKEY_HASH_SHA256, &hash, &length) != 0) {
        return "no fingerprint";
    }
    const Text text(ssh_get_fingerprint_hash(SSH_PUBLICKEY_HASH_SHA256, hash, length));
    ssh_clean_pubkey_hash(&hash);
    return text ? text.get() : "no fingerprint";
}

tl::expected<void, LinkError> check_host_key(const Session& session, const Target& target,
                                             const KnownHosts& store) {
    ssh_key raw = nullptr;
    const int got = ssh_get_server_publickey(session.ssh(), &raw);
    const Key key(raw);
    char* encoded = nullptr;
    if (got != SSH_OK || ssh_pki_export_pubkey_base64(raw, &encoded) != SSH_OK) {
        return tl::unexpected(
            LinkError{Kind::host_key, session.where() + ": the device showed no usable host key"});
    }
    const Text base64(encoded);
    const std::string type = ssh_key_type_to_char(ssh_key_type(raw));
    const auto shown =
        session.where() + " shows the host key " + fingerprint(raw) + " (" + type + ")";
    const auto refuse = [](std::string text) {
        return tl::unexpected(LinkError{Kind::host_key, std::move(text)});
    };
    if (!target.host_keys.empty()) {
        const auto& pinned = target.host_keys;
        if (std::find(pinned.begin(), pinned.end(), fingerprint(raw)) != pinned.end()) {
            return {};
        }
        return refuse(shown + ", which is none of host-keys in the configuration; compare it at "
                              "the device before you add it");
    }
    switch (store.look_up(target.host, target.port, type, base64.get())) {
    case KnownHosts::Answer::known:
        return {};
    case KnownHosts::Answer::unknown:
        return refuse(shown + ", which is not in " + target.known_hosts +
                      "; compare it at the device and add its line");
    case KnownHosts::Answer::changed:
        return refuse(shown + ", but " + target.known_hosts +
                      " lists another one: the key has changed or this is not the device; compare "
                      "it at the device before you replace the line");
    case KnownHosts::Answer::revoked:
        return refuse(shown + ", which " + target.known_hosts +
                      " marks as revoked; give the device a new host key");
    }
    return refuse(shown);
}

asio::awaitable<tl::expected<void, LinkError>> exchange_keys(std::shared_ptr<Session> session,
                                                             const Target& target) {
    std::function<int()> call = [&session] { return ssh_connect(session->ssh()); };
    const auto deadline = Clock::now() + target.connect_timeout;
    const auto result = co_await session->until(deadline, "exchanging keys", std::move(call));
    if (result && *result == SSH_OK) {
        co_return tl::expected<void, LinkError>{};
    }
    auto error = result ? LinkError{Kind::session_lost, session->where() + ": no key exchange (" +
                                                            session->complaint() + ")"}
                        : result.error();
    // A peer that finds no common algorithm hangs up, which may hide the reason from us.
    if (error.kind == Kind::session_lost) {
        error.text.append("; if this comes each time, check that the device offers a current key "
                          "exchange and host key algorithm: ");
        error.text.append(joined(algorithms::key_exchange));
    }
    co_return tl::unexpected(std::move(error));
}

asio::awaitable<tl::expected<void, LinkError>> try_to_establish(std::shared_ptr<Session> session,
                                                                const Target& target,
                                                                std::shared_ptr<Bastion> through) {
    const auto store = target.host_keys.empty() ? KnownHosts::load(target.known_hosts)
                                                : KnownHosts::parse("", "host-keys");
    if (!store) {
        co_return tl::unexpected(LinkError{Kind::host_key, state::to_text(store.error())});
    }
    auto credentials = Credentials::read(target);
    if (!credentials) {
        co_return tl::unexpected(credentials.error());
    }
    auto socket = co_await dial(session, target, std::move(through));
    if (!socket) {
        co_return tl::unexpected(socket.error());
    }
    if (const auto adopted = session->adopt(std::move(*socket)); !adopted) {
        co_return tl::unexpected(adopted.error());
    }
    if (!configure(session->ssh(), target, store->types_of(target.host, target.port))) {
        co_return tl::unexpected(LinkError{
            Kind::misuse, session->where() + ": libssh refused an option (" + session->complaint() +
                              "); check host and user in the configuration"});
    }
    const auto exchanged = co_await exchange_keys(session, target);
    if (!exchanged) {
        co_return exchanged;
    }
    const auto trusted = check_host_key(*session, target, *store);
    if (!trusted) {
        co_return trusted;
    }
    const auto authenticated = co_await authenticate(session, target, std::move(*credentials));
    if (!authenticated) {
        co_return authenticated;
    }
    session->serve();
    if (!session->alive()) {
        co_return tl::unexpected(session->why());
    }
    co_return tl::expected<void, LinkError>{};
}

} // namespace

asio::awaitable<tl::expected<void, LinkError>>
establish(std::shared_ptr<Session> session, Target target, std::shared_ptr<Bastion> through) {
    auto result = co_await try_to_establish(session, target, std::move(through));
    if (!result) {
        session->end(result.error());
    }
    co_return result;
}

} // namespace slotwitness::links
