#pragma once

#include "router.hpp"

#include <array>
#include <cstdint>
#include <string>

/// /metrics: OpenMetrics 1.0, or the older text format of version 0.0.4 where that alone is taken.
/// Names are those of things shown elsewhere; nothing of it is evidence.
namespace slotwitness::api {

/// What the server counts of itself.
struct Counts {
    std::array<std::uint64_t, 6> responses{}; ///< by the first digit of the status
    std::size_t connections = 0;              ///< now
    std::size_t streams = 0;                  ///< now

    void count(int status) { ++responses.at(static_cast<std::size_t>(status) / 100); }
};

[[nodiscard]] Next get_metrics(const Request& request, const Places& places,
                               const desk::Desk& desk);
[[nodiscard]] Response metrics_shown(const Request& request, const Counts& counts,
                                     const desk::Desk& desk);

} // namespace slotwitness::api
