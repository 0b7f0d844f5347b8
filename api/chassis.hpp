#pragma once

#include "router.hpp"

#include <nlohmann/json_fwd.hpp>

/// /v1/chassis: what the device reported last, with the very lines.
namespace slotwitness::api {

[[nodiscard]] Next get_all_chassis(const Request& request, const Places& places,
                                   const desk::Desk& desk);
[[nodiscard]] Next get_chassis(const Request& request, const Places& places,
                               const desk::Desk& desk);

/// Asks for what the chassis is now to be kept; 202, since the next whole round makes it so.
[[nodiscard]] Next post_baseline(const Request& request, const Places& places,
                                 const desk::Desk& desk);
[[nodiscard]] Response baseline_wanted(const Request& request, std::string_view name,
                                       const tl::expected<void, desk::Refusal>& done,
                                       const desk::Desk& desk);

/// Connects again at once, also after a refused credential; 202.
[[nodiscard]] Next post_session(const Request& request, const Places& places,
                                const desk::Desk& desk);
[[nodiscard]] Response connecting_again(const Request& request, std::string_view name,
                                        const tl::expected<void, desk::Refusal>& done,
                                        const desk::Desk& desk);
[[nodiscard]] Response json_response(const nlohmann::ordered_json& json);

/// 404 for a chassis that is not configured.
[[nodiscard]] Response no_such_chassis(const Request& request, std::string_view name,
                                       const desk::Desk& desk);

} // namespace slotwitness::api
