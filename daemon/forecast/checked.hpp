#pragma once

#include "bounds.hpp"
#include "forecast.hpp"

#include <optional>

namespace slotwitness::forecast {

/// Also false for what is not a number.
[[nodiscard]] inline bool believable(double celsius) {
    return celsius >= bounds::coldest && celsius <= bounds::hottest;
}

[[nodiscard]] inline bool believable(units::Instant at) {
    return at.time_since_epoch() >= -bounds::farthest && at.time_since_epoch() <= bounds::farthest;
}

/// Why a look cannot be used after `before` (none: it is the first); nothing if it can.
[[nodiscard]] inline std::optional<NotIdentified> unusable(const Look& look, const Look* before) {
    const char* words = nullptr;
    if (!believable(look.celsius))
        words =
            "a temperature is not a number between -60 and 250 C; see whether the sensor is broken";
    else if (!believable(look.earliest) || !believable(look.latest))
        words = "a look has no instant between the years -4000 and 9999; see who stamps it";
    else if (look.latest < look.earliest)
        words = "a look ends before it begins; give the span in which it was taken";
    else if (before && (look.earliest < before->earliest || look.latest < before->latest))
        words = "looks are out of order; give them as they were taken";
    if (!words)
        return std::nullopt;
    return NotIdentified{Why::absurd, words, {}};
}

} // namespace slotwitness::forecast
