#pragma once

#include "session.hpp"

#include <boost/asio/ip/tcp.hpp>

namespace slotwitness::links {

/// Resolves the host and connects to its addresses in turn, each with its share of the time; waits
/// for the first byte of the server's greeting. Ends early when the session is ended.
[[nodiscard]] boost::asio::awaitable<tl::expected<boost::asio::ip::tcp::socket, LinkError>>
dial(std::shared_ptr<Session> session, const Target& target);

} // namespace slotwitness::links
