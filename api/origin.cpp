#include "origin.hpp"

namespace slotwitness::api {

namespace {

/// The authority of a serialized origin; empty for "null" and for what is none.
std::string_view authority_of(std::string_view origin) {
    for (const std::string_view scheme : {"https://", "http://"})
        if (same_token(origin.substr(0, scheme.size()), scheme))
            return origin.substr(scheme.size());
    return {};
}

ProblemDetails refused(std::string field, std::string found, std::string expected) {
    ProblemDetails problem;
    problem.status = 403;
    problem.kind = "other-origin";
    problem.detail = "A page of another origin may change nothing here.";
    problem.field = std::move(field);
    problem.found = std::move(found);
    problem.expected = std::move(expected);
    problem.remedy = "Act from a page of this daemon, or from a program.";
    return problem;
}

} // namespace

std::optional<ProblemDetails> of_another_origin(const Request& request) {
    if (changes_nothing(request.method))
        return std::nullopt;
    // "same-site" is another origin still; "none" is a person's own doing.
    const auto site = request.field("Sec-Fetch-Site");
    if (site && *site != "same-origin" && *site != "none")
        return refused("Sec-Fetch-Site", *site, "same-origin");
    const auto origin = request.field("Origin");
    const std::string host = request.field("Host").value_or("");
    if (origin && !same_token(authority_of(*origin), host))
        return refused("Origin", *origin, "the origin of " + host);
    return std::nullopt;
}

} // namespace slotwitness::api
