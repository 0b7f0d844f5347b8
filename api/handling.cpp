#include "handling.hpp"

#include "answer.hpp"
#include "events.hpp"
#include "evidence.hpp"
#include "metrics.hpp"
#include "origin.hpp"
#include "problem.hpp"
#include "rack_tokens.hpp"
#include "shown.hpp"

#include <slotwitness/log/log.hpp>

#include <exception>
#include <utility>

namespace slotwitness::api {

namespace asio = boost::asio;

namespace {

/// A defect behind the desk costs one response, not the daemon.
Response defect(const Request& request, const std::exception& error) {
    log::tell(log::Level::error, log::Event::defect,
              {{}, {{"method", std::string{to_word(request.method)}}, {"path", request.path}}},
              "api: " + std::string{to_word(request.method)} + ' ' + printable(request.path) +
                  ": " + error.what());
    ProblemDetails problem;
    problem.status = 500;
    problem.detail = "The daemon has a defect; its log tells more.";
    problem.remedy = "Report it with what the log tells.";
    return to_response(problem, request.path);
}

} // namespace

std::optional<Response> refused_before_body(Request& request, const std::optional<Found>& found,
                                            Common& common, Rate::Time now) {
    if (auto refused = refused_early(request, found))
        return refused;
    if (const auto problem = of_another_origin(request))
        return to_response(*problem, request.path);
    return common.door.turned_away(request, found, common.desk, now);
}

Next routed(const Request& request, const std::optional<Found>& found, Common& common) {
    try {
        return route(request, found, common.desk);
    } catch (const std::exception& error) {
        return defect(request, error);
    }
}

asio::awaitable<Response> respond(Request& request, Next next, Common& common, Leaving leaving) {
    if (std::holds_alternative<Follow>(next)) // of HEAD
        co_return stream_head();
    if (const auto* evidence = std::get_if<SendEvidence>(&next)) // of HEAD
        co_return evidence_head(request, evidence->id);
    if (std::holds_alternative<Measure>(next))
        co_return metrics_shown(request, common.counts, common.desk);
    if (auto* rack = std::get_if<MakeRackToken>(&next)) {
        auto making = rack_token_made(request, std::move(*rack), common.door.known_tokens());
        co_return co_await std::move(making);
    }
    try {
        const bool waits = std::holds_alternative<AwaitChange>(next);
        auto answering = answer(request, std::move(next), common.desk, std::move(leaving));
        Response response = co_await std::move(answering);
        if (waits) // and rights can end meanwhile
            if (auto refused = common.door.no_longer_in(request, common.desk))
                co_return std::move(*refused);
        co_return response;
    } catch (const std::exception& error) {
        co_return defect(request, error);
    }
}

void tell(const Request& request, const Response& response) {
    if (changes_nothing(request.method) || request.asker.token.empty())
        return;
    log::tell(log::Level::info, log::Event::request,
              {{},
               {{"status", response.status},
                {"method", std::string{to_word(request.method)}},
                {"path", request.path},
                {"person", request.asker.name},
                {"token", request.asker.token}}},
              "api: " + std::to_string(response.status) + " for " +
                  std::string{to_word(request.method)} + ' ' + printable(request.path) + " of " +
                  request.asker.name + ", token " + request.asker.token);
}

} // namespace slotwitness::api
