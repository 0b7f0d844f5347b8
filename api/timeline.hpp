#pragma once

#include "router.hpp"

/// /v1/chassis/{name}/timeline: what became of its parts, gates and clocks over the last hours.
namespace slotwitness::api {

[[nodiscard]] Next get_timeline(const Request& request, const Places& places,
                                const desk::Desk& desk);

} // namespace slotwitness::api
