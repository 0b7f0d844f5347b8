#pragma once

#include "router.hpp"

namespace slotwitness::api {

/// 200 as long as the loop turns.
[[nodiscard]] Next get_livez(const Request& request, const Places& places, const desk::Desk& desk);
/// 200, or 503 with the reasons.
[[nodiscard]] Next get_readyz(const Request& request, const Places& places, const desk::Desk& desk);

} // namespace slotwitness::api
