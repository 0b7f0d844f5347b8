#pragma once

#include "answer.hpp"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::api {

/// What stands in the places of a pattern, decoded, in their order.
using Places = std::vector<std::string>;

struct Route {
    Method method = Method::get;
    std::string_view pattern; ///< segments; "{…}" is a place
    Next (*handle)(const Request& request, const Places& places, const desk::Desk& desk) = nullptr;
};

/// Every route there is. HEAD goes where GET does; 404, 405 and Allow follow from this table alone.
[[nodiscard]] std::span<const Route> routes();

/// Hands the request to its handler, or says why there is none.
[[nodiscard]] Next route(const Request& request, const desk::Desk& desk);

/// What is known to be wrong before a body is read: no such path or method, a body where none
/// belongs.
[[nodiscard]] std::optional<Response> refused_early(const Request& request);

} // namespace slotwitness::api
