#pragma once

#include "session.hpp"

namespace slotwitness::links {

/// The whole way from a name to a session that serves: dial, key exchange, our own check of the
/// host key, and only then authentication. On failure the session is ended.
[[nodiscard]] boost::asio::awaitable<tl::expected<void, LinkError>>
establish(std::shared_ptr<Session> session, Target target);

} // namespace slotwitness::links
