#pragma once

#include "connection.hpp"
#include "events.hpp"
#include "problem.hpp"

#include <functional>
#include <optional>

namespace slotwitness::api {

/// The client of a stream, as its connection knows it.
struct Client {
    Transport& transport;
    Leaving leaving;
    std::function<bool()> has_left;
};

/// Writes the head, then an event for each change, until the last one, until the client leaves or
/// reads too slowly, until he may no longer, or until the server stops. The problem if this asker
/// has too many streams: nothing was written then. Call it as `answer`.
[[nodiscard]] boost::asio::awaitable<std::optional<ProblemDetails>>
stream(Client& client, Common& common, Request& request, Follow follow);

} // namespace slotwitness::api
