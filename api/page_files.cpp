#include "page_files.hpp"

#include "preconditions.hpp"
#include "problem.hpp"
#include "shown.hpp"

#include <slotwitness/pages/files.hpp>

namespace slotwitness::api {

namespace {

/// Scripts, styles and data of this daemon alone, nothing inline, in nobody's frame.
constexpr std::string_view policy =
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; "
    "img-src 'self' data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

Response given(const Request& request, const pages::File& file) {
    const EntityTag tag{std::string{file.digest}, false};
    Response response = unless_known(request, tag, [&] {
        return Content{file.type, std::string{file.bytes}};
    });
    if (response.status == 412)
        return response;
    // Kept, and asked for again each time: page and daemon are always of one build.
    response.fields.push_back({"Cache-Control", "no-cache"});
    response.fields.push_back({"Content-Security-Policy", std::string{policy}});
    return response;
}

} // namespace

Next get_rack_page(const Request& request, const Places&, const desk::Desk&) {
    return given(request, *pages::find("rack.html"));
}

Next get_engineer_page(const Request& request, const Places&, const desk::Desk&) {
    return given(request, *pages::find("engineer.html"));
}

Next get_asset(const Request& request, const Places& places, const desk::Desk&) {
    if (const pages::File* file = pages::find(places.front());
        file && !file->name.ends_with(".html"))
        return given(request, *file);
    ProblemDetails problem;
    problem.status = 404;
    problem.detail = "There is no such file.";
    problem.found = places.front();
    problem.remedy = "Load the page again: it may be of an older daemon.";
    return to_response(problem, request.path);
}

} // namespace slotwitness::api
