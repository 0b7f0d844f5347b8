#pragma once

#include "budget.hpp"

#include <slotwitness/units/time.hpp>

#include <cstddef>
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

/// What would be looked at, and what that takes.
struct Attention {
    /// Keys that gates and procedures need; with none, the idle round asks `idle_askings`.
    std::vector<std::string> wanted;
    const std::vector<std::string>& idle_askings;
    /// Queries that connecting asks before the round's own; 0 while there is a session.
    std::size_t at_entrance = 0;
};

/// What the next round asks, and when it starts.
struct Plan {
    units::Instant start;
    std::vector<std::string> askings;
    bool held_up = false; ///< by the budget: at its pace it would start sooner
};

/// The next round after one that started at `last_start` (nothing: it is due now) and ended at
/// `now`. A round never starts before the one under way has ended, nor before the budget has room
/// for all of it.
///
/// Idle rounds leave half of the budget alone, so that who opens a gate finds the other half. Once
/// that is begun looks become rarer the less is left, so that they never end for long.
[[nodiscard]] Plan next_round(const Pace& pace, const Spending& spending,
                              std::optional<units::Instant> last_start, units::Instant now,
                              Attention attention);

/// The least budget that lets a chassis be looked at in idle times too: two whole looks, each with
/// what connecting asks.
[[nodiscard]] std::size_t least_budget(std::size_t whole_look, std::size_t at_entrance);

/// Queries an hour at each attention, at most.
struct Price {
    std::size_t pending;
    std::size_t idle;
};
[[nodiscard]] Price price(const Pace& pace, std::size_t queries_a_look, const Budget& budget);

/// Between looks of this many queries while something is pending for hours: the pace, or what the
/// budget bears.
[[nodiscard]] units::Duration lasting_interval(const Pace& pace, std::size_t queries_a_look,
                                               const Budget& budget);

/// G when the gate's opener gives none: three pending intervals plus the query time-out.
[[nodiscard]] units::Duration default_gap(const Pace& pace, units::Duration query_timeout);

} // namespace slotwitness::watch
