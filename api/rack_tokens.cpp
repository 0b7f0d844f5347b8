#include "rack_tokens.hpp"

#include "body.hpp"
#include "problem.hpp"
#include "procedures.hpp"

#include <slotwitness/log/log.hpp>
#include <slotwitness/qr/code.hpp>
#include <slotwitness/tokens/token_file.hpp>
#include <slotwitness/units/time.hpp>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/system_executor.hpp>
#include <boost/asio/use_awaitable.hpp>

#include <array>
#include <chrono>
#include <utility>

namespace slotwitness::api {

namespace asio = boost::asio;

namespace {

using namespace std::chrono_literals;

constexpr std::chrono::seconds a_shift = 12h;

ProblemDetails wrong(std::string field, std::string found, std::string expected) {
    ProblemDetails problem;
    problem.status = 422;
    problem.detail = "The body asks for something that cannot be done here.";
    problem.field = std::move(field);
    problem.found = std::move(found);
    problem.expected = std::move(expected);
    problem.remedy = "Correct it.";
    return problem;
}

Response conflict(const Request& request, std::string kind, std::string detail,
                  std::string remedy) {
    ProblemDetails problem;
    problem.status = 409;
    problem.kind = std::move(kind);
    problem.detail = std::move(detail);
    problem.remedy = std::move(remedy);
    return to_response(problem, request.path);
}

nlohmann::json as_json(const std::optional<qr::Code>& code) {
    if (!code)
        return nullptr;
    return {{"side", code->side()}, {"path", qr::as_path(*code)}};
}

Response told(const Request& request, const tokens::Made& made) {
    const tokens::Token& token = made.token;
    // The token stands in the fragment: no browser sends it. A page tells by its Origin, which was
    // held against Host, how it reached the daemon; a program knows that itself.
    const std::string page = "/rack/" + token.procedure + "#token=" + made.text;
    const auto origin = request.field("Origin");
    nlohmann::json body{
        {"id", token.id},
        {"person", token.person},
        {"procedure", token.procedure},
        {"expires",
         units::to_rfc3339(units::Instant{units::Duration{token.expires.time_since_epoch()}})},
        {"token", made.text},
        {"address", origin.value_or("") + page},
        {"qr", origin ? as_json(qr::encode(*origin + page)) : nlohmann::json(nullptr)}};
    Response response;
    response.status = 201;
    response.fields = {{"Content-Type", std::string{json_type}}};
    response.body = to_body(body);
    return response;
}

/// By ids, which are no secret: who let whom in.
void tell(const Request& request, const tokens::Token& token) {
    log::tell(log::Level::info, log::Event::access,
              {{},
               {{"token", token.id},
                {"person", token.person},
                {"procedure", token.procedure},
                {"made_by", request.asker.name}}},
              "api: rack token " + token.id + " of " + token.person + " for procedure " +
                  token.procedure + ", made by " + request.asker.name);
}

} // namespace

Next post_rack_token(const Request& request, const Places& places, const desk::Desk& desk) {
    const std::string& id = places.front();
    const auto procedure = desk.procedure(id);
    if (!procedure)
        return no_such_procedure(request, id);
    if (const auto problem = not_json(request))
        return refused_body(request, *problem);
    static constexpr std::array<Known, 2> may_have{{{"person", true}, {"expires"}}};
    const auto members = read_strings(request.body, may_have);
    if (!members)
        return refused_body(request, members.error());
    if (procedure->record.finding.phase == witness::Phase::closed)
        return conflict(request, "closed", "The procedure is closed: nobody is at its rack.",
                        "Open the procedure of the present work.");
    tokens::Wish wish{members->at("person"), tokens::Role::rack, id, a_shift};
    if (std::string why = tokens::wrong_person(wish.person); !why.empty())
        return refused_body(request, wrong("person", wish.person, std::move(why)));
    if (const auto expires = members->find("expires"); expires != members->end()) {
        const auto lasts = units::parse_duration(expires->second);
        if (!lasts || *lasts < 1s || *lasts > tokens::longest_life)
            return refused_body(request,
                                wrong("expires", expires->second, "a duration from 1 s to 366 d"));
        wish.lasts = std::chrono::floor<std::chrono::seconds>(*lasts);
    }
    return MakeRackToken{std::move(wish)};
}

asio::awaitable<Response> rack_token_made(const Request& request, MakeRackToken wanted,
                                          tokens::Register* known) {
    if (known == nullptr)
        co_return conflict(request, "no-tokens",
                           "The daemon keeps no tokens: whoever reaches it may do everything.",
                           "Add tokens = \"tokens\" to [daemon], so that people are known.");
    const auto now = known->now();
    auto made = tokens::make_token(wanted.wish, now);
    if (!made)
        co_return conflict(request, "no-token", "No token can be made: " + made.error() + ".",
                           "Correct the body.");
    // It waits for the disk, and for whoever edits the file; the loop does not.
    auto keep = [path = known->path(), token = made->token,
                 now]() -> asio::awaitable<tl::expected<void, std::string>> {
        co_return tokens::keep_token(path, token, now);
    };
    auto keeping = asio::co_spawn(asio::system_executor(), std::move(keep), asio::use_awaitable);
    const auto kept = co_await std::move(keeping);
    if (!kept)
        co_return conflict(request, "no-token", "The token is not kept: " + kept.error() + ".",
                           "Mend it and ask again; nothing was handed out.");
    tell(request, made->token);
    co_return told(request, *made);
}

} // namespace slotwitness::api
