#include "problem.hpp"

#include "body.hpp"

#include <nlohmann/json.hpp>

namespace slotwitness::api {

namespace {

struct Shown {
    int status;
    std::string_view kind;
    std::string_view detail;
    std::string_view field;
};

Shown shown(desk::Refusal::Kind kind) {
    using Kind = desk::Refusal::Kind;
    switch (kind) {
    case Kind::no_such_chassis:
        return {422, "no-such-chassis", "No chassis of this name is configured.", "chassis"};
    case Kind::no_such_gate:
        return {404, "no-such-gate", "There is no gate of this id.", ""};
    case Kind::no_such_procedure:
        return {404, "no-such-procedure", "There is no procedure of this id.", ""};
    case Kind::bad_procedure:
        return {422, "bad-procedure", "The procedure cannot be opened here.", ""};
    case Kind::not_done:
        return {409, "not-done", "It was not done: nothing has changed.", ""};
    case Kind::bad_sentence:
        return {422, "bad-sentence", "The gate sentence cannot be read.", "sentence"};
    case Kind::cannot_evaluate:
        return {422, "cannot-evaluate", "The gate sentence can be read, but not be judged here.",
                "sentence"};
    case Kind::unknown_name:
        return {422, "unknown-name",
                "The gate sentence names a component that was never seen here.", "sentence"};
    case Kind::key_reused: // draft-ietf-httpapi-idempotency-key-header-07 §2.7
        return {422, "key-reused", "This idempotency key came with another request before.",
                "Idempotency-Key"};
    case Kind::in_flight: // the same draft, §2.7
        return {409, "in-flight", "A request with this idempotency key is under way.",
                "Idempotency-Key"};
    case Kind::too_many: // RFC 9110 §15.5.10: the caller can mend the state of the resource
        return {409, "too-many-gates", "Too many gates are open on this chassis.", "chassis"};
    case Kind::not_recorded:
        return {503, "not-recorded", "The journal cannot take it now: nothing was done.", ""};
    case Kind::busy:
        return {503, "busy", "Too much of it is under way: nothing was done.", ""};
    case Kind::stopping:
        return {503, "stopping", "The daemon is stopping: nothing was done.", ""};
    }
    return {500, "internal", "An unknown refusal.", ""};
}

} // namespace

ProblemDetails to_problem(const desk::Refusal& refusal) {
    const Shown how = shown(refusal.kind);
    const state::Problem& problem = refusal.problem;
    ProblemDetails details;
    details.status = how.status;
    details.kind = how.kind;
    details.detail = how.detail;
    details.field = how.field;
    details.at = problem.at;
    details.found = problem.found;
    details.expected = problem.expected;
    details.remedy = problem.remedy;
    return details;
}

Response to_response(const ProblemDetails& problem, std::string_view instance) {
    nlohmann::ordered_json json;
    std::string title{reason_phrase(problem.status)};
    if (problem.kind.empty()) {
        json["type"] = "about:blank"; // RFC 9457 §4.2.1: then the title is the status phrase
    } else {
        json["type"] = "urn:slotwitness:problem:" + problem.kind;
        title = problem.kind;
        std::ranges::replace(title, '-', ' ');
    }
    json["title"] = title;
    json["status"] = problem.status; // RFC 9457 §3.1.2: the code of the response itself
    const auto member = [&](const char* name, const std::string& value) {
        if (!value.empty())
            json[name] = value;
    };
    member("detail", problem.detail);
    member("instance", std::string{instance});
    member("field", problem.field);
    if (problem.at.line > 0)
        json["line"] = problem.at.line;
    if (problem.at.column > 0)
        json["column"] = problem.at.column;
    member("found", problem.found);
    member("expected", problem.expected);
    member("remedy", problem.remedy);
    if (!problem.reasons.empty())
        json["reasons"] = problem.reasons;

    Response response;
    response.status = problem.status;
    response.fields = {{"Content-Type", "application/problem+json"}};
    response.body = to_body(json);
    if (problem.status == 503)
        response.fields.push_back({"Retry-After", "5"}); // RFC 9110 §10.2.3
    return response;
}

} // namespace slotwitness::api
