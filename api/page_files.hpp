#pragma once

#include "router.hpp"

/// The pages themselves: anybody may have them, since they show nothing without a token.
namespace slotwitness::api {

/// /engineer and /engineer/{chassis}
[[nodiscard]] Next get_engineer_page(const Request& request, const Places& places,
                                     const desk::Desk& desk);
/// /assets/{file} and /assets/{page}/{file}
[[nodiscard]] Next get_asset(const Request& request, const Places& places, const desk::Desk& desk);

} // namespace slotwitness::api
