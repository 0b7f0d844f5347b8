#include "page_files.hpp"

#include "preconditions.hpp"
#include "problem.hpp"
#include "shown.hpp"

#include <slotwitness/pages/pages.hpp>

namespace slotwitness::api {

namespace {

/// Nothing of elsewhere, nothing inline, in nobody's frame; a form is sent by script alone.
constexpr const char* page_policy =
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; "
    "img-src 'self' data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

Response no_such_file(const Request& request) {
    ProblemDetails problem;
    problem.status = 404;
    problem.detail = "There is no such file.";
    problem.found = request.path;
    problem.remedy = "Begin at /engineer.";
    return to_response(problem, request.path);
}

/// A browser asks each time whether it has changed: a daemon that was renewed shows its own pages.
Response file_response(const Request& request, const pages::File& file) {
    const EntityTag tag{std::string{file.digest}};
    Response response;
    switch (evaluate(request, tag)) {
    case Precondition::failed:
        return precondition_failed(request, tag);
    case Precondition::not_modified:
        response.status = 304;
        break;
    case Precondition::go_on:
        response.body = file.bytes;
        break;
    }
    response.fields = {{"Content-Type", std::string{pages::media_type(file.path)}},
                       {"ETag", to_text(tag)},
                       {"Cache-Control", "no-cache"},
                       {"Content-Security-Policy", page_policy}};
    return response;
}

} // namespace

Next get_engineer_page(const Request& request, const Places&, const desk::Desk&) {
    return file_response(request, *pages::find("engineer/index.html"));
}

Next get_asset(const Request& request, const Places& places, const desk::Desk&) {
    std::string path = places.front();
    if (places.size() > 1)
        path += '/' + places.back();
    const pages::File* file = pages::find(path);
    if (file == nullptr || path.ends_with(".html"))
        return no_such_file(request);
    return file_response(request, *file);
}

} // namespace slotwitness::api
