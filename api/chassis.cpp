#include "chassis.hpp"

#include "body.hpp"

#include <slotwitness/units/time.hpp>

namespace slotwitness::api {

namespace {

using Json = nlohmann::ordered_json;

/// A quantity keeps its exact decimal as text: a JSON number would round it.
Json to_json(const state::Value& value) {
    if (const auto* names = std::get_if<state::Names>(&value))
        return *names;
    if (const auto* quantity = std::get_if<units::Quantity>(&value))
        return {{"value", quantity->value.to_text()}, {"unit", units::to_text(quantity->unit)}};
    return state::to_text(value);
}

Json to_json(const desk::ComponentView& view) {
    Json json;
    json["name"] = view.row.name;
    Json facts = Json::object();
    for (const auto& [attribute, fact] : view.row.facts)
        facts[std::string{state::to_word(attribute)}] = {
            {"value", to_json(fact.value)}, {"line", fact.at.line}, {"column", fact.at.column}};
    json["facts"] = std::move(facts);
    json["printed"] = view.row.text;
    json["line"] = view.row.at.line;
    json["asking"] = view.asking;
    json["capture"] = view.capture;
    json["answered"] = units::to_rfc3339(view.answered);
    json["whole"] = view.whole;
    return json;
}

Json summary(const desk::ChassisSummary& view) {
    Json json;
    json["name"] = view.name;
    json["family"] = view.family;
    json["session"] = desk::to_word(view.session);
    json["session_text"] = view.session_text;
    json["session_reason"] = view.session_reason;
    json["held_up"] = view.held_up.empty() ? Json(nullptr) : Json(view.held_up);
    json["serial"] = view.serial ? Json(*view.serial) : Json(nullptr);
    json["in_band"] = view.in_band;
    json["reached"] = view.opened ? Json{{"since", units::to_rfc3339(view.opened_at)},
                                         {"address", view.opened->address},
                                         {"host_key", view.opened->host_key},
                                         {"weak_algorithms", view.opened->weak}}
                                  : Json(nullptr);
    json["switchover"] = view.switchover ? Json{{"at", units::to_rfc3339(view.switchover->at)},
                                                {"of", to_word(view.switchover->what.of)},
                                                {"from", view.switchover->what.from},
                                                {"to", view.switchover->what.to}}
                                         : Json(nullptr);
    json["last_answer"] =
        view.last_answer ? Json(units::to_rfc3339(*view.last_answer)) : Json(nullptr);
    json["valid_until"] =
        view.valid_until ? Json(units::to_rfc3339(*view.valid_until)) : Json(nullptr);
    json["gates_pending"] = view.gates_pending;
    json["procedure"] = view.procedure ? Json(*view.procedure) : Json(nullptr);
    return json;
}

void add_baseline(const desk::ChassisView& view, Json& json) {
    json["baseline"] = nullptr;
    if (view.baseline)
        json["baseline"] = {{"at", units::to_rfc3339(view.baseline->at)},
                            {"by", view.baseline->by},
                            {"round", std::to_string(view.baseline->round)}};
    json["baseline_wanted"] = view.baseline_wanted;
}

/// The faces as the profile has them: rows from the top, each from the left; null is a place
/// without a slot.
Json faces_of(const desk::ChassisView& view) {
    Json faces = Json::object();
    for (const auto& [side, rows] : view.faces) {
        Json& face = faces[std::string{profiles::to_word(side)}] = Json::array();
        for (const std::vector<desk::Slot>& row : rows) {
            Json& places = face.emplace_back(Json::array());
            for (const desk::Slot& slot : row)
                places.push_back(slot.name.empty()
                                     ? Json(nullptr)
                                     : Json{{"name", slot.name}, {"label", slot.label}});
        }
    }
    return faces;
}

} // namespace

Response json_response(const Json& json) {
    Response response;
    response.fields = {{"Content-Type", "application/json"}};
    response.body = to_body(json);
    return response;
}

namespace {

/// What was asked for comes about later: look at the chassis. RFC 9110 §15.3.3
Response accepted(std::string_view chassis, const Json& json) {
    Response response = json_response(json);
    response.status = 202;
    response.fields.push_back({"Location", "/v1/chassis/" + percent_encoded(chassis)});
    return response;
}

/// An act upon a chassis that takes nothing but its name: the name, or why not.
tl::expected<std::string, Response> bare_act(const Request& request, const Places& places,
                                             const desk::Desk& desk) {
    if (!desk.chassis(places.front()))
        return tl::unexpected(no_such_chassis(request, places.front(), desk));
    if (const auto wrong = not_json(request))
        return tl::unexpected(refused_body(request, *wrong));
    if (const auto members = read_strings(request.body, {}); !members)
        return tl::unexpected(refused_body(request, members.error()));
    return places.front();
}

} // namespace

Next get_all_chassis(const Request&, const Places&, const desk::Desk& desk) {
    Json all = Json::array();
    for (const desk::ChassisSummary& view : desk.all_chassis())
        all.push_back(summary(view));
    return json_response({{"chassis", std::move(all)}});
}

Next get_chassis(const Request& request, const Places& places, const desk::Desk& desk) {
    const auto view = desk.chassis(places.front());
    if (!view)
        return no_such_chassis(request, places.front(), desk);
    Json json = summary(*view);
    add_baseline(*view, json);
    json["faces"] = faces_of(*view);
    Json components = Json::object();
    for (const state::Kind kind : state::words_of<state::Kind>())
        for (const desk::ComponentView& component : view->components)
            if (component.row.kind == kind)
                components[std::string{state::to_word(kind)}].push_back(to_json(component));
    json["components"] = std::move(components);
    json["unread"] = Json::array();
    for (const state::UnreadLine& line : view->unread)
        json["unread"].push_back({{"line", line.line},
                                  {"column", line.column},
                                  {"text", line.text},
                                  {"expected", line.expected}});
    json["remarks"] = Json::array();
    for (const state::Remark& remark : view->remarks)
        json["remarks"].push_back(
            {{"line", remark.at.line}, {"column", remark.at.column}, {"text", remark.text}});
    return json_response(json);
}

Next post_baseline(const Request& request, const Places& places, const desk::Desk& desk) {
    auto chassis = bare_act(request, places, desk);
    if (!chassis)
        return std::move(chassis.error());
    return WantBaseline{std::move(*chassis), request.asker.name};
}

Response baseline_wanted(const Request& request, std::string_view name,
                         const tl::expected<void, desk::Refusal>& done, const desk::Desk& desk) {
    if (!done)
        return to_response(to_problem(done.error()), request.path);
    Json json{{"chassis", name}};
    if (const auto view = desk.chassis(name))
        add_baseline(*view, json);
    return accepted(name, json);
}

Next post_session(const Request& request, const Places& places, const desk::Desk& desk) {
    auto chassis = bare_act(request, places, desk);
    if (!chassis)
        return std::move(chassis.error());
    return ConnectAgain{std::move(*chassis), request.asker.name};
}

Response connecting_again(const Request& request, std::string_view name,
                          const tl::expected<void, desk::Refusal>& done, const desk::Desk& desk) {
    if (!done)
        return to_response(to_problem(done.error()), request.path);
    return accepted(name, summary(*desk.chassis(name)));
}

Response no_such_chassis(const Request& request, std::string_view name, const desk::Desk& desk) {
    std::string names;
    for (const desk::ChassisSummary& view : desk.all_chassis())
        names.append(names.empty() ? "" : ", ").append(view.name);
    ProblemDetails problem;
    problem.status = 404;
    problem.kind = "no-such-chassis";
    problem.detail = "No chassis of this name is configured.";
    problem.found = name;
    problem.expected = names.empty() ? "" : "one of " + names;
    problem.remedy = "GET /v1/chassis lists the chassis there are.";
    return to_response(problem, request.path);
}

} // namespace slotwitness::api
