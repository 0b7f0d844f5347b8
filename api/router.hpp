#pragma once

#include "answer.hpp"

#include <slotwitness/tokens/role.hpp>

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::api {

/// What stands in the places of a pattern, decoded, in their order.
using Places = std::vector<std::string>;

/// Of what the first place of a pattern is the name.
enum class Of { other, procedure, gate };

struct Route {
    Method method = Method::get;
    std::string_view pattern; ///< segments; "{…}" is a place
    Of of = Of::other;
    /// Who may; nothing: everybody, without a token as well. A rack token may on its own procedure
    /// and that one's gates alone.
    std::optional<tokens::Roles> roles;
    bool pages = false; ///< takes "?limit=…&after=…"
    Next (*handle)(const Request& request, const Places& places, const desk::Desk& desk) = nullptr;
};

/// Every route there is. HEAD goes where GET does; 404, 405 and Allow follow from this table alone.
[[nodiscard]] std::span<const Route> routes();

struct Found {
    const Route* route = nullptr; ///< never null
    Places places;
};
/// The route of the request, if there is one.
[[nodiscard]] std::optional<Found> find_route(const Request& request);

/// Hands the request to its handler, or says why there is none.
[[nodiscard]] Next route(const Request& request, const std::optional<Found>& found,
                         const desk::Desk& desk);

/// What is known to be wrong before a body is read: no such path or method, a body where none
/// belongs.
[[nodiscard]] std::optional<Response> refused_early(const Request& request,
                                                    const std::optional<Found>& found);

} // namespace slotwitness::api
