#pragma once

#include "session.hpp"

namespace slotwitness::links {

// What every way of asking has in common: waiting for a place on the device, opening, saying,
// hearing.

/// Waits until the device has closed so many channels that another one fits into `parallel`.
[[nodiscard]] boost::asio::awaitable<tl::expected<void, LinkError>>
find_place(std::shared_ptr<Session> session, std::size_t parallel, Deadline deadline);

/// Sends all of the bytes. The result is libssh's: SSH_OK, or the device closed the channel.
[[nodiscard]] boost::asio::awaitable<tl::expected<int, LinkError>>
say(std::shared_ptr<Session> session, std::shared_ptr<Channel> channel, std::string bytes,
    Deadline deadline);

/// Waits until something has come. False: the deadline has; what arrived in time has been read.
[[nodiscard]] boost::asio::awaitable<tl::expected<bool, LinkError>>
hear_more(std::shared_ptr<Session> session, Deadline deadline);

} // namespace slotwitness::links
