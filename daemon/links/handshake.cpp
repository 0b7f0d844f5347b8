#include "handshake.hpp"

#include "algorithms.hpp"
#include "authentication.hpp"
#include "dial.hpp"
#include "host_key.hpp"

#include <libssh/libssh.h>

#include <algorithm>

namespace slotwitness::links {

namespace asio = boost::asio;
using Kind = LinkError::Kind;
using Clock = std::chrono::steady_clock;

namespace {

std::string joined(const algorithms::Names& names) {
    std::string text;
    for (const auto& name : names) {
        text.append(text.empty() ? "" : ",").append(name);
    }
    return text;
}

/// The signature algorithms for a type of host key; RSA keys have several (RFC 8332).
bool signs_with(std::string_view key_type, std::string_view algorithm) {
    return key_type == algorithm || (key_type == "ssh-rsa" && algorithm.starts_with("rsa-sha2-"));
}

/// Types that the store knows for this host come first: a server with several keys then shows one
/// that can be compared.
algorithms::Names host_key_order(algorithms::Names order, const std::vector<std::string>& known) {
    std::stable_partition(order.begin(), order.end(), [&known](std::string_view algorithm) {
        return std::any_of(known.begin(), known.end(), [algorithm](const std::string& type) {
            return signs_with(type, algorithm);
        });
    });
    return order;
}

/// What our own keys may sign with: the weak one too where it was named, since a device that has
/// nothing better for itself has nothing better for us.
algorithms::Names signatures_of_ours(const Algorithms& offered) {
    auto names = algorithms::ours().host_keys;
    const auto weak = std::find_if(offered.host_keys.begin(), offered.host_keys.end(),
                                   [](const auto& name) { return algorithms::is_weak(name); });
    if (weak != offered.host_keys.end()) {
        names.push_back(*weak);
    }
    return names;
}

bool set(ssh_session ssh, ssh_options_e option, const std::string& value) {
    return ssh_options_set(ssh, option, value.c_str()) == SSH_OK;
}

/// Everything that libssh would otherwise look for in the account's files and environment is said
/// here.
bool configure(ssh_session ssh, const Target& target, const std::vector<std::string>& known_types) {
    const Algorithms offered = algorithms::offered(target.algorithms);
    const int no = 0;
    const int smallest_rsa = 2048;
    const unsigned port = target.port;
    return ssh_options_set(ssh, SSH_OPTIONS_PROCESS_CONFIG, &no) == SSH_OK &&
           set(ssh, SSH_OPTIONS_SSH_DIR, "/nonexistent") &&
           set(ssh, SSH_OPTIONS_USER, target.user) && set(ssh, SSH_OPTIONS_HOST, target.host) &&
           ssh_options_set(ssh, SSH_OPTIONS_PORT, &port) == SSH_OK &&
           set(ssh, SSH_OPTIONS_KNOWNHOSTS, "/dev/null") &&
           set(ssh, SSH_OPTIONS_GLOBAL_KNOWNHOSTS, "/dev/null") &&
           set(ssh, SSH_OPTIONS_KEY_EXCHANGE, joined(offered.key_exchange)) &&
           set(ssh, SSH_OPTIONS_HOSTKEYS, joined(host_key_order(offered.host_keys, known_types))) &&
           set(ssh, SSH_OPTIONS_CIPHERS_C_S, joined(offered.ciphers)) &&
           set(ssh, SSH_OPTIONS_CIPHERS_S_C, joined(offered.ciphers)) &&
           set(ssh, SSH_OPTIONS_HMAC_C_S, joined(offered.macs)) &&
           set(ssh, SSH_OPTIONS_HMAC_S_C, joined(offered.macs)) &&
           set(ssh, SSH_OPTIONS_COMPRESSION, "no") &&
           set(ssh, SSH_OPTIONS_PUBLICKEY_ACCEPTED_TYPES, joined(signatures_of_ours(offered))) &&
           ssh_options_set(ssh, SSH_OPTIONS_RSA_MIN_SIZE, &smallest_rsa) == SSH_OK;
}

asio::awaitable<tl::expected<void, LinkError>> agree(std::shared_ptr<Session> session,
                                                     const Target& target) {
    std::function<int()> call = [&session] { return ssh_connect(session->ssh()); };
    const auto deadline = Clock::now() + target.connect_timeout;
    const auto result = co_await session->until(deadline, "exchanging keys", std::move(call));
    if (result && *result == SSH_OK) {
        auto agreed = agreed_in(session->ssh(), session->where(), target.algorithms);
        if (!agreed) {
            co_return tl::unexpected(std::move(agreed.error()));
        }
        session->note(std::move(*agreed));
        co_return tl::expected<void, LinkError>{};
    }
    auto error = result ? LinkError{Kind::session_lost, session->where() + ": no key exchange (" +
                                                            session->complaint() + ")"}
                        : result.error();
    // A peer that finds no common algorithm hangs up, which may hide the reason from us.
    if (error.kind == Kind::session_lost) {
        error.text.append("; if this comes each time, check that the device offers a current key "
                          "exchange and host key algorithm, or name under \"algorithms\" in the "
                          "configuration what it has; offered were ");
        error.text.append(joined(algorithms::offered(target.algorithms).key_exchange));
    }
    co_return tl::unexpected(std::move(error));
}

asio::awaitable<tl::expected<void, LinkError>> try_to_establish(std::shared_ptr<Session> session,
                                                                const Target& target,
                                                                std::shared_ptr<Bastion> through) {
    const auto store = trust_of(target);
    if (!store) {
        co_return tl::unexpected(store.error());
    }
    auto credentials = Credentials::read(session->executor(), target);
    if (!credentials) {
        co_return tl::unexpected(credentials.error());
    }
    auto known = store->types_of(target.host, target.port);
    auto exchanging = exchange_keys(session, target, std::move(known), std::move(through));
    const auto exchanged = co_await std::move(exchanging);
    if (!exchanged) {
        co_return exchanged;
    }
    auto trusted = check_host_key(*session, target, *store);
    if (!trusted) {
        co_return tl::unexpected(std::move(trusted.error()));
    }
    session->trust(std::move(*trusted));
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

asio::awaitable<tl::expected<void, LinkError>> exchange_keys(std::shared_ptr<Session> session,
                                                             Target target,
                                                             std::vector<std::string> known,
                                                             std::shared_ptr<Bastion> through) {
    auto stream = co_await dial(session, target, std::move(through));
    if (!stream) {
        co_return tl::unexpected(stream.error());
    }
    if (const auto adopted = session->adopt(std::move(*stream)); !adopted) {
        co_return tl::unexpected(adopted.error());
    }
    if (!configure(session->ssh(), target, known)) {
        co_return tl::unexpected(LinkError{
            Kind::misuse, session->where() + ": libssh refused an option (" + session->complaint() +
                              "); check host, user and algorithms in the configuration"});
    }
    co_return co_await agree(session, target);
}

asio::awaitable<tl::expected<void, LinkError>>
establish(std::shared_ptr<Session> session, Target target, std::shared_ptr<Bastion> through) {
    session->expect(target.refusals);
    auto result = co_await try_to_establish(session, target, std::move(through));
    if (!result) {
        session->end(result.error());
    }
    co_return result;
}

} // namespace slotwitness::links
