#pragma once

#include "router.hpp"

/// The pages for people and what they are made of. They hold no state and take no token: the data
/// that they ask for does.
namespace slotwitness::api {

/// /rack/{id}: the same page for every id, so that it tells nobody which there are.
[[nodiscard]] Next get_rack_page(const Request& request, const Places& places,
                                 const desk::Desk& desk);
[[nodiscard]] Next get_engineer_page(const Request& request, const Places& places,
                                     const desk::Desk& desk);
/// /assets/{name}
[[nodiscard]] Next get_asset(const Request& request, const Places& places, const desk::Desk& desk);

} // namespace slotwitness::api
