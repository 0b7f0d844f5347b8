#include "router.hpp"

#include "answers.hpp"
#include "chassis.hpp"
#include "contract.hpp"
#include "evidence.hpp"
#include "gates.hpp"
#include "hardware.hpp"
#include "health.hpp"
#include "metrics.hpp"
#include "page_files.hpp"
#include "problem.hpp"
#include "procedures.hpp"
#include "rack_tokens.hpp"
#include "timeline.hpp"

#include <algorithm>
#include <array>

namespace slotwitness::api {

namespace {

using tokens::Role;
using tokens::Roles;

constexpr Roles all_but_rack{Role::viewer, Role::engineer, Role::auditor};
constexpr Roles everyone{Role::viewer, Role::rack, Role::engineer, Role::auditor};
constexpr Roles engineer{Role::engineer};
constexpr Roles auditors{Role::engineer, Role::auditor};
constexpr Roles people_at_work{Role::rack, Role::engineer};
constexpr std::nullopt_t without_token = std::nullopt;

/// Whether a route takes the query of a page.
constexpr bool in_pages = true;
constexpr bool in_one = false;

constexpr auto table = std::to_array<Route>({
    {Method::get, "/v1/chassis", Of::other, all_but_rack, in_one, get_all_chassis},
    {Method::get, "/v1/chassis/{name}", Of::other, all_but_rack, in_one, get_chassis},
    {Method::get, "/v1/chassis/{name}/hardware", Of::other, all_but_rack, in_one, get_hardware},
    {Method::get, "/v1/chassis/{name}/answers", Of::other, all_but_rack, in_one, get_answers},
    {Method::get, "/v1/chassis/{name}/answers/{asking}", Of::other, all_but_rack, in_one,
     get_answer},
    {Method::get, "/v1/chassis/{name}/timeline", Of::other, all_but_rack, in_one, get_timeline},
    {Method::post, "/v1/chassis/{name}/baseline", Of::other, engineer, in_one, post_baseline},
    {Method::post, "/v1/chassis/{name}/session", Of::other, engineer, in_one, post_session},
    {Method::get, "/v1/gates", Of::other, all_but_rack, in_pages, get_gates},
    {Method::post, "/v1/gates", Of::other, engineer, in_one, post_gate},
    {Method::get, "/v1/gates/{id}", Of::gate, everyone, in_one, get_gate},
    {Method::get, "/v1/gates/{id}/changes", Of::gate, everyone, in_one, get_gate_changes},
    {Method::delete_, "/v1/gates/{id}", Of::gate, engineer, in_one, delete_gate},
    {Method::get, "/v1/procedures", Of::other, all_but_rack, in_pages, get_procedures},
    {Method::post, "/v1/procedures", Of::other, engineer, in_one, post_procedure},
    {Method::get, "/v1/procedures/{id}", Of::procedure, everyone, in_one, get_procedure},
    {Method::get, "/v1/procedures/{id}/changes", Of::procedure, everyone, in_one,
     get_procedure_changes},
    {Method::get, "/v1/procedures/{id}/sheet", Of::procedure, everyone, in_one, get_sheet},
    {Method::get, "/v1/procedures/{id}/card", Of::procedure, everyone, in_one, get_card},
    {Method::get, "/v1/procedures/{id}/evidence", Of::procedure, auditors, in_one, get_evidence},
    {Method::post, "/v1/procedures/{id}/releases", Of::procedure, engineer, in_one, post_release},
    {Method::post, "/v1/procedures/{id}/confirmations", Of::procedure, people_at_work, in_one,
     post_confirmation},
    {Method::post, "/v1/procedures/{id}/undos", Of::procedure, people_at_work, in_one, post_undo},
    {Method::post, "/v1/procedures/{id}/acts", Of::procedure, people_at_work, in_one, post_act},
    {Method::post, "/v1/procedures/{id}/rack-tokens", Of::procedure, engineer, in_one,
     post_rack_token},
    {Method::get, "/v1/openapi.json", Of::other, without_token, in_one, get_contract},
    {Method::get, "/metrics", Of::other, all_but_rack, in_one, get_metrics},
    {Method::get, "/livez", Of::other, without_token, in_one, get_livez},
    {Method::get, "/readyz", Of::other, without_token, in_one, get_readyz},
    {Method::get, "/rack/{id}", Of::other, without_token, in_one, get_rack_page},
    {Method::get, "/engineer", Of::other, without_token, in_one, get_engineer_page},
    {Method::get, "/engineer/{chassis}", Of::other, without_token, in_one, get_engineer_page},
    {Method::get, "/assets/{name}", Of::other, without_token, in_one, get_asset},
});

/// More than any pattern has.
constexpr std::size_t most_segments = 6;

/// What stands between the slashes of a path.
struct Segments {
    std::array<std::string_view, most_segments> at;
    std::size_t count = 0;
};
/// Nothing if it does not begin with a slash, or has more of them than any pattern.
constexpr std::optional<Segments> split(std::string_view path) {
    Segments segments;
    while (path.starts_with('/')) {
        if (segments.count == most_segments)
            return std::nullopt;
        const auto end = std::min(path.find('/', 1), path.size());
        segments.at[segments.count++] = path.substr(1, end - 1);
        path.remove_prefix(end);
    }
    return path.empty() && segments.count > 0 ? std::optional{segments} : std::nullopt;
}

constexpr auto patterns = [] {
    std::array<Segments, table.size()> all;
    std::ranges::transform(table, all.begin(),
                           [](const Route& route) { return *split(route.pattern); });
    return all;
}();

constexpr bool is_place(std::string_view segment) {
    return segment.starts_with('{');
}

/// Split before it is decoded: an encoded slash stays within its segment.
std::optional<Places> decoded_segments(std::string_view path) {
    const auto segments = split(path);
    if (!segments)
        return std::nullopt;
    Places decoded;
    decoded.reserve(segments->count);
    for (std::size_t i = 0; i < segments->count; ++i) {
        auto segment = percent_decoded(segments->at[i]);
        if (!segment)
            return std::nullopt;
        decoded.push_back(std::move(*segment));
    }
    return decoded;
}

bool matches(const Segments& pattern, const Places& path) {
    if (pattern.count != path.size())
        return false;
    for (std::size_t i = 0; i < pattern.count; ++i)
        if (is_place(pattern.at[i]) ? path[i].empty() : pattern.at[i] != path[i])
            return false;
    return true;
}

Places places_of(const Segments& pattern, Places path) {
    std::size_t places = 0;
    for (std::size_t i = 0; i < pattern.count; ++i)
        if (is_place(pattern.at[i]))
            std::swap(path[places++], path[i]);
    path.resize(places);
    return path;
}

Method served_as(Method method) {
    return method == Method::head ? Method::get : method;
}

/// The methods of the path, as Allow lists them; empty if there is no such path.
std::string allowed(std::string_view path) {
    std::string methods;
    const auto segments = decoded_segments(path);
    for (std::size_t i = 0; segments && i < table.size(); ++i)
        if (matches(patterns[i], *segments)) {
            methods.append(methods.empty() ? "" : ", ").append(to_word(table[i].method));
            if (table[i].method == Method::get)
                methods.append(", HEAD");
        }
    return methods;
}

Response not_routed(const Request& request) {
    if (request.method == Method::other) { // RFC 9110 §9.1
        ProblemDetails problem;
        problem.status = 501;
        problem.detail = "No resource here knows this method.";
        problem.expected = "GET, HEAD, POST or DELETE";
        problem.remedy = "Methods are written in capitals.";
        return to_response(problem, request.path);
    }
    const std::string methods = allowed(request.path);
    ProblemDetails problem;
    if (methods.empty()) {
        problem.status = 404;
        problem.detail = "There is no such path.";
        problem.found = request.path;
        problem.remedy = "Begin at /v1/chassis or /v1/gates; a path ends without a slash.";
        return to_response(problem, request.path);
    }
    problem.status = 405;
    problem.detail = "The path does not take this method.";
    problem.found = to_word(request.method);
    problem.expected = methods;
    problem.remedy = "Use one of the methods in Allow.";
    Response response = to_response(problem, request.path);
    response.fields.push_back({"Allow", methods}); // RFC 9110 §15.5.6
    return response;
}

Response bad_request(const Request& request, std::string detail, std::string found,
                     std::string remedy) {
    ProblemDetails problem;
    problem.status = 400;
    problem.detail = std::move(detail);
    problem.found = std::move(found);
    problem.remedy = std::move(remedy);
    return to_response(problem, request.path);
}

} // namespace

std::span<const Route> routes() {
    return table;
}

std::optional<Found> find_route(const Request& request) {
    auto segments = decoded_segments(request.path);
    if (!segments)
        return std::nullopt;
    const Method method = served_as(request.method);
    for (std::size_t i = 0; i < table.size(); ++i)
        if (table[i].method == method && matches(patterns[i], *segments))
            return Found{&table[i], places_of(patterns[i], std::move(*segments))};
    return std::nullopt;
}

Next route(const Request& request, const std::optional<Found>& found, const desk::Desk& desk) {
    if (found)
        return found->route->handle(request, found->places, desk);
    return not_routed(request);
}

std::optional<Response> refused_early(const Request& request, const std::optional<Found>& found) {
    if (!found)
        return not_routed(request);
    if (!request.query.empty() && !found->route->pages)
        return bad_request(request, "This path takes no query.", "?" + request.query,
                           "Leave the query out.");
    // RFC 9110 §9.3.1: content has no meaning there, and is a known way to smuggle a second
    // request.
    if (request.method != Method::post && request.field("Content-Length").value_or("0") != "0")
        return bad_request(request, "This method takes no body.",
                           "Content-Length: " + *request.field("Content-Length"),
                           "Leave the body out.");
    return std::nullopt;
}

} // namespace slotwitness::api
