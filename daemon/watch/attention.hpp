#pragma once

#include <slotwitness/units/time.hpp>

#include <optional>
#include <string>
#include <vector>

/// When to look: pure, no I/O.
namespace slotwitness::watch {

struct Pace {
    units::Duration pending{
        2'000}; ///< between the starts of rounds while a gate is pending or guarded
    units::Duration idle{60'000}; ///< otherwise
};

/// What the next round asks, and when it starts.
struct Plan {
    units::Instant start;
    std::vector<std::string> askings;
};

/// The next round after one that started at `last_start` (nothing before the first) and ended at
/// `now`. `wanted` are the keys that gates need; with none, the idle round asks `idle_askings`. A
/// round never starts before the one under way has ended.
[[nodiscard]] Plan next_round(const Pace& pace, std::optional<units::Instant> last_start,
                              units::Instant now, const std::vector<std::string>& wanted,
                              const std::vector<std::string>& idle_askings);

/// G when the gate's opener gives none: three pending intervals plus the query time-out.
[[nodiscard]] units::Duration default_gap(const Pace& pace, units::Duration query_timeout);

} // namespace slotwitness::watch
