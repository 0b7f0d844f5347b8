#pragma once

#include "router.hpp"

namespace slotwitness::api {

/// 200 as long as the loop turns.
[[nodiscard]] Next get_livez(const Request& request, const Places& places, const desk::Desk& desk);
/// 200, or 503; the reasons are told to who may come in.
[[nodiscard]] Next get_readyz(const Request& request, const Places& places, const desk::Desk& desk);

} // namespace slotwitness::api
