#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace slotwitness::units {

/// All durations of the project: whole milliseconds, signed.
using Duration = std::chrono::milliseconds;

/// The daemon's own time line. Its zero is the Unix epoch as the first run of a journal knew it;
/// within one boot it advances with CLOCK_BOOTTIME, so a step of the wall clock never moves it.
struct Timeline {
    using duration = Duration;
    using rep = duration::rep;
    using period = duration::period;
    using time_point = std::chrono::time_point<Timeline>;
    static constexpr bool is_steady = true;
};
using Instant = Timeline::time_point;

/// RFC 3339 in UTC with three fraction digits: "2026-11-25T08:54:17.000Z". Outside the years 0000
/// to 9999, which are all that RFC 3339 has, the nearest instant inside.
[[nodiscard]] std::string to_rfc3339(Instant at);

/// A duration as people write it: one or more of `number unit` with the units ms, s, min, h, d
/// ("10 s", "1 h 30 min", "250ms"); whole numbers, units in falling order. Nothing if it is not
/// one, or not representable in milliseconds.
[[nodiscard]] std::optional<Duration> parse_duration(std::string_view text);

/// The text that parse_duration reads back to the same value, each unit below the next larger one
/// and left out where it is zero: "10 s", "1 h 30 min", "0 s". Takes a duration ≥ 0.
[[nodiscard]] std::string to_text(Duration duration);

} // namespace slotwitness::units
