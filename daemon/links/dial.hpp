#pragma once

#include "session.hpp"

namespace slotwitness::links {

class Bastion;

/// Through the bastion, which resolves the host, or without one: resolves the host and connects to
/// its addresses in turn, each with its share of the time; waits for the first byte of the server's
/// greeting. Ends early when the session is ended.
[[nodiscard]] boost::asio::awaitable<tl::expected<Stream, LinkError>>
dial(std::shared_ptr<Session> session, const Target& target, std::shared_ptr<Bastion> through);

} // namespace slotwitness::links
