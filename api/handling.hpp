#pragma once

#include "connection.hpp"
#include "router.hpp"

#include <boost/asio/awaitable.hpp>

#include <optional>

/// From one request to its response, whatever the connection.
namespace slotwitness::api {

/// The response if the request is turned away before its body is read: by its route, its origin, or
/// the rights of who asks, who is set in it.
[[nodiscard]] std::optional<Response> refused_before_body(Request& request,
                                                          const std::optional<Found>& found,
                                                          Common& common, Rate::Time now);

/// What its route makes of the whole request.
[[nodiscard]] Next routed(const Request& request, const std::optional<Found>& found,
                          Common& common);

/// The response once what comes before it has happened; of HEAD the one in place of a stream. Call
/// it as `answer`.
[[nodiscard]] boost::asio::awaitable<Response> respond(Request& request, Next next, Common& common,
                                                       Leaving leaving);

/// Tells the log who did what, by the id of the token, which is no secret.
void tell(const Request& request, const Response& response);

} // namespace slotwitness::api
