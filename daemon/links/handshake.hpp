#pragma once

#include "known_hosts.hpp"
#include "session.hpp"

namespace slotwitness::links {

class Bastion;

/// The whole way from a name to a session that serves: dial, key exchange, our own check of the
/// host key, and only then authentication; `through`: the
/// bastion that leads there, or null. On failure the session is ended.
[[nodiscard]] boost::asio::awaitable<tl::expected<void, LinkError>>
establish(std::shared_ptr<Session> session, Target target, std::shared_ptr<Bastion> through);

/// The first part of it: dial and key exchange. Nobody has looked at the host key then, and nothing
/// of ours has been told. `known` are the types of keys that can be compared.
[[nodiscard]] boost::asio::awaitable<tl::expected<void, LinkError>>
exchange_keys(std::shared_ptr<Session> session, Target target, std::vector<std::string> known,
              std::shared_ptr<Bastion> through);

} // namespace slotwitness::links
