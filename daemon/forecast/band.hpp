#pragma once

#include "forecast.hpp"

#include <vector>

namespace slotwitness::forecast {

/// The temperature at one instant, by the belief: below `low` with 10 %, `middle` with 50 %, `high`
/// with 90 %. In °C.
struct BandPoint {
    units::Instant at;
    double low = 0, middle = 0, high = 0;
};
using Band = std::vector<BandPoint>;

/// How a person may see what a belief says from its last look to the horizon, both included, at
/// instants evenly apart. To be looked at, never to be counted with: `crossing` tells the clock.
/// Empty for a belief without courses, or a horizon not after the last look.
[[nodiscard]] Band band(const Belief& belief, units::Instant horizon);

} // namespace slotwitness::forecast
