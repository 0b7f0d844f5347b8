#include "door.hpp"

#include "problem.hpp"
#include "shown.hpp"

#include <slotwitness/log/log.hpp>

#include <algorithm>

namespace slotwitness::api {

namespace {

using tokens::Role;
using tokens::Token;

constexpr std::string_view challenge = "Bearer realm=\"slotwitness\"";

/// RFC 6750 §3: the problem with its challenge; without an error code where nothing was presented.
Response challenged(const Request& request, const ProblemDetails& problem, std::string_view error,
                    std::string_view scope = {}) {
    Response response = to_response(problem, request.path);
    std::string value{challenge};
    if (!error.empty())
        value.append(", error=\"").append(error).append("\"");
    if (!scope.empty())
        value.append(", scope=\"").append(scope).append("\"");
    response.fields.push_back({"WWW-Authenticate", std::move(value)});
    return response;
}

ProblemDetails problem_of(int status, std::string kind, std::string detail, std::string remedy) {
    ProblemDetails problem;
    problem.status = status;
    problem.kind = std::move(kind);
    problem.detail = std::move(detail);
    problem.remedy = std::move(remedy);
    return problem;
}

Response invalid(const Request& request, std::string detail) {
    return challenged(request,
                      problem_of(401, "invalid-token", std::move(detail),
                                 "Ask for a new one; \"slotwitness token make\" makes it."),
                      "invalid_token");
}

/// b64token of RFC 6750 §2.1.
bool is_b64token(std::string_view text) {
    const auto is_letter = [](char c) {
        return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') ||
               std::string_view{"-._~+/"}.find(c) != std::string_view::npos;
    };
    const auto end = text.find_last_not_of('=');
    return end != std::string_view::npos && std::ranges::all_of(text.substr(0, end + 1), is_letter);
}

/// The token of the request; empty without one. The problem: 400 (RFC 6750 §3.1).
tl::expected<std::string, ProblemDetails> presented(const Request& request) {
    constexpr std::string_view scheme = "Bearer";
    const auto value = request.field("Authorization");
    if (!value)
        return std::string{};
    const std::string_view text{*value};
    const auto blank = std::min(text.find(' '), text.size());
    if (!same_token(text.substr(0, blank), scheme))
        return std::string{}; // credentials of another kind are none here
    const std::string_view token = trimmed(text.substr(blank));
    if (request.count("Authorization") == 1 && is_b64token(token))
        return std::string{token};
    ProblemDetails problem = problem_of(400, "bad-field", "A header field is wrong.",
                                        "Send one Authorization field, \"Bearer TOKEN\".");
    problem.field = "Authorization"; // what stands there is never told again
    return tl::unexpected{std::move(problem)};
}

/// The technician's hands may be in the chassis: a rack token does not run out in the middle of a
/// step, between its release and its end.
bool is_in_the_middle_of_a_step(const desk::ProcedureView& view) {
    const auto step = view.record.steps.find(view.record.finding.step);
    return step != view.record.steps.end() && (step->second.stage == witness::Stage::released ||
                                               step->second.stage == witness::Stage::confirmed);
}

/// Why the token counts no longer; empty if it does.
std::string ended(const Token& token, tokens::WallTime now, const desk::Desk& desk, Moment moment) {
    if (token.revoked)
        return "The token was revoked.";
    const auto procedure = token.role == Role::rack ? desk.procedure(token.procedure) : nullptr;
    const bool closed = procedure && procedure->record.finding.phase == witness::Phase::closed;
    if (closed && moment == Moment::coming)
        return "The procedure that the token is for is closed.";
    if (now < token.expires || (procedure && is_in_the_middle_of_a_step(*procedure)))
        return "";
    return "The token has expired.";
}

/// A procedure's own gates are called after it: ID.STEP.
bool is_of_own_procedure(const Token& token, const Found& found) {
    const std::string& own = token.procedure;
    const std::string_view id = found.places.empty() ? "" : std::string_view{found.places.front()};
    switch (found.route->of) {
    case Of::other:
        return false;
    case Of::procedure:
        return id == own;
    case Of::gate:
        return id.size() > own.size() && id.starts_with(own) && id[own.size()] == '.';
    }
    return false;
}

std::optional<Response> lacks_right(const Request& request, const Token& token,
                                    const Found& found) {
    const tokens::Roles roles = *found.route->roles;
    ProblemDetails problem = problem_of(403, "insufficient-scope", "", "");
    problem.found = tokens::to_word(token.role);
    if (!roles.contains(token.role)) {
        problem.detail = "The token's role may not do this.";
        problem.expected = tokens::to_text(roles);
        problem.remedy = "Ask somebody whose role it is.";
    } else if (token.role == Role::rack && !is_of_own_procedure(token, found)) {
        problem.detail = "The token is for another procedure.";
        problem.expected = "procedure " + token.procedure + " or a gate of it";
        problem.remedy = "Use the token that was made for this procedure.";
    } else {
        return std::nullopt;
    }
    return challenged(request, problem, "insufficient_scope", tokens::to_text(roles));
}

Response too_fast(const Request& request, std::chrono::seconds again) { // RFC 6585 §4
    Response response =
        to_response(problem_of(429, "too-many-requests", "Requests come too fast.",
                               "Try again after Retry-After; \"Prefer: wait\" asks less often."),
                    request.path);
    response.fields.push_back({"Retry-After", std::to_string(again.count())});
    return response;
}

} // namespace

Door::Door(tokens::Register* tokens, const ServerLimits& limits)
    : tokens_(tokens), known_(limits.token_burst, limits.token_interval, limits.askers),
      strangers_(limits.stranger_burst, limits.stranger_interval, limits.askers) {}

tl::expected<Token, Response> Door::identify(const Request& request, const desk::Desk& desk,
                                             Moment moment) {
    const auto text = presented(request);
    if (!text)
        return tl::unexpected{challenged(request, text.error(), "invalid_request")};
    if (text->empty())
        return tl::unexpected{
            challenged(request,
                       problem_of(401, "no-token", "Who asks is not known.",
                                  "Send \"Authorization: Bearer TOKEN\"; \"slotwitness token "
                                  "make\" makes one."),
                       "")};
    const auto looked = tokens_->find(*text);
    if (!looked) {
        log::tell(log::Level::error, log::Event::access, {}, "api: " + looked.error());
        return tl::unexpected{to_response(
            problem_of(503, "no-tokens", "The daemon cannot read its tokens: nobody is let in.",
                       "Its log says why."),
            request.path)};
    }
    const Token* token = *looked;
    if (token == nullptr)
        return tl::unexpected{invalid(request, "There is no such token.")};
    if (std::string why = ended(*token, tokens_->now(), desk, moment); !why.empty())
        return tl::unexpected{invalid(request, std::move(why))};
    return *token;
}

std::optional<Response> Door::admit(Request& request, const std::optional<Found>& found,
                                    const desk::Desk& desk, Moment moment) {
    request.asker = {};
    if (tokens_ == nullptr) {
        request.asker.name = request.peer;
        return std::nullopt;
    }
    auto token = identify(request, desk, moment);
    if (token)
        request.asker = {token->person, token->id, token->role};
    if (!found || !found->route->roles)
        return std::nullopt;
    if (!token)
        return std::move(token).error();
    return lacks_right(request, *token, *found);
}

std::optional<Response> Door::turned_away(Request& request, const std::optional<Found>& found,
                                          const desk::Desk& desk, Rate::Time now) {
    auto refused = admit(request, found, desk, Moment::coming);
    const Asker& asker = request.asker;
    std::optional<std::chrono::seconds> again;
    if (!asker.token.empty())
        again = known_.take(asker.token, now);
    else if (refused)
        again = strangers_.take(request.peer, now);
    if (again)
        return too_fast(request, *again);
    if (refused)
        log::tell(log::Level::warning, log::Event::refused,
                  {{},
                   {{"status", refused->status},
                    {"method", std::string{to_word(request.method)}},
                    {"path", request.path},
                    {"peer", request.peer},
                    {"token", asker.token}}},
                  "api: " + std::to_string(refused->status) + " for " +
                      std::string{to_word(request.method)} + ' ' + printable(request.path) +
                      " from " + request.peer + ' ' + asker.token);
    return refused;
}

std::optional<Response> Door::no_longer_in(Request& request, const desk::Desk& desk) {
    return admit(request, find_route(request), desk, Moment::waiting);
}

} // namespace slotwitness::api
