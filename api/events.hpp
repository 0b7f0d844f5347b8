#pragma once

#include "answer.hpp"
#include "preconditions.hpp"

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

/// /v1/…/changes: text/event-stream (HTML, "Server-sent events"). An event is the whole of what is
/// shown now, and its id the entity tag, so that who comes again is told what is new and no more.
/// Who reads slowly misses what was overtaken, never the newest.
namespace slotwitness::api {

inline constexpr std::string_view event_type = "text/event-stream";

struct Event {
    std::string id;
    std::string bytes; ///< as they go out
    std::uint64_t revision = 0;
    bool is_last = false; ///< nothing will change any more
};
/// `data`: JSON on one line.
[[nodiscard]] Event make_event(const EntityTag& tag, std::string_view data, std::uint64_t revision,
                               bool is_last);

/// Made once for all who follow.
using SharedEvent = std::shared_ptr<const Event>;
/// As shown now; null if there is no such thing.
[[nodiscard]] SharedEvent newest_event(const Follow& follow, const desk::Desk& desk);
/// A comment: keeps the way open, and tells each side that the other is there.
inline constexpr std::string_view heartbeat = ":\n\n";

/// What the route of a changes path makes of a request: 404, 406, 204 where the client has the last
/// event already (so that a browser comes no more), else what is followed.
[[nodiscard]] Next follow(const Request& request, AwaitChange::Of of, const std::string& id,
                          const desk::Desk& desk);
/// The head of the stream.
[[nodiscard]] Response stream_head();

} // namespace slotwitness::api
