#pragma once

#include "agent_key.hpp"
#include "credential.hpp"
#include "secret.hpp"
#include "session.hpp"

#include <optional>

namespace slotwitness::links {

/// What a target's files and agent hold, read before anybody is bothered with a connection.
struct Credentials {
    [[nodiscard]] static tl::expected<Credentials, LinkError>
    read(const boost::asio::any_io_executor& executor, const Target& target);

    Key key;                         ///< or null
    std::shared_ptr<AgentKey> agent; ///< in its place, or null
    std::optional<Secret> password;
};

/// RFC 4252: the key first; the password, by keyboard-interactive (RFC 4256) or password, where
/// there is no key or the device wants both. A refused key is not followed by a password that the
/// device did not ask for beside it: each refusal counts towards a lock of the account.
[[nodiscard]] boost::asio::awaitable<tl::expected<void, LinkError>>
authenticate(std::shared_ptr<Session> session, const Target& target, Credentials credentials);

} // namespace slotwitness::links
