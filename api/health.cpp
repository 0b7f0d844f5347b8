#include "health.hpp"

#include "problem.hpp"

namespace slotwitness::api {

namespace {

Response plain(std::string text) {
    Response response;
    response.fields = {{"Content-Type", "text/plain; charset=utf-8"}};
    response.body = std::move(text);
    return response;
}

} // namespace

Next get_livez(const Request&, const Places&, const desk::Desk&) {
    return plain("alive\n");
}

Next get_readyz(const Request& request, const Places&, const desk::Desk& desk) {
    const desk::Health health = desk.health();
    if (health.ready)
        return plain("ready\n");
    ProblemDetails problem;
    problem.status = 503;
    problem.kind = "not-ready";
    problem.detail = "The daemon runs, but cannot do its work.";
    // A probe needs no token, and so learns nothing of the site.
    const bool known = !request.asker.name.empty();
    problem.remedy = known ? "See the reasons." : "Ask with a token for the reasons.";
    if (known)
        problem.reasons = health.reasons;
    return to_response(problem, request.path);
}

} // namespace slotwitness::api
