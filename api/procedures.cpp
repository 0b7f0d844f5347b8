#include "procedures.hpp"

#include "body.hpp"
#include "negotiation.hpp"
#include "page.hpp"
#include "problem.hpp"
#include "shown.hpp"

#include <slotwitness/journal/codec.hpp>

#include <array>

namespace slotwitness::api {

namespace {

using nlohmann::json;

json to_json(const witness::Advice& advice) {
    return {{"first", advice.first}, {"say", advice.say}};
}

/// A step's texts, and how far it is: `revision` goes into If-Match.
json to_json(const witness::StepPlan& plan, const desk::ProcedureView& view) {
    witness::StepFinding finding;
    finding.procedure = view.record.opened.id;
    finding.name = plan.name;
    if (const auto found = view.record.steps.find(plan.name); found != view.record.steps.end())
        finding = found->second;
    json out = journal::to_json(finding);
    show_code(out, finding.code);
    out["actor"] = plan.technician ? "technician" : "engineer";
    out["act"] = plan.act;
    out["waits_for"] = plan.fact.sentence;
    out["has_effect"] = plan.effect ? json(plan.effect->sentence) : json(nullptr);
    out["confirm"] = plan.confirm ? json(*plan.confirm) : json(nullptr);
    out["cautions"] = plan.cautions;
    out["if_wrong"] = to_json(plan.if_wrong);
    return out;
}

json to_json(const desk::ProcedureView& view) {
    const witness::ProcedureOpened& opened = view.record.opened;
    json out = journal::to_json(view.record.finding);
    show_code(out, view.record.finding.code);
    out["chassis"] = view.chassis;
    out["unrecorded"] = view.unrecorded;
    out["arguments"] = opened.arguments;
    out["opened_by"] = opened.by;
    out["accepted"] = json::array();
    for (const witness::Exception& each : opened.handback.accepted)
        out["accepted"].push_back(journal::to_json(each));
    out["ticket"] = opened.ticket;
    out["window"] = opened.window;
    out["approver"] = opened.approver;
    out["warnings"] = opened.warnings;
    out["steps"] = json::array();
    for (const witness::StepPlan& step : opened.steps)
        out["steps"].push_back(to_json(step, view));
    out["back_out"] = json::array();
    for (const witness::StepPlan& step : opened.back_out)
        out["back_out"].push_back(to_json(step, view));
    out["rules"] = json::array();
    for (const witness::RulePlan& rule : opened.rules) {
        json one{{"name", rule.name}, {"active", false}};
        if (const auto found = view.record.rules.find(rule.name); found != view.record.rules.end())
            one = journal::to_json(found->second);
        one["say"] = rule.say;
        one["holds"] = rule.holds.sentence;
        out["rules"].push_back(std::move(one));
    }
    out["handback"] =
        view.record.handback ? journal::to_json(*view.record.handback) : json(nullptr);
    out["cooling"] = view.record.cooling ? journal::to_json(*view.record.cooling) : json(nullptr);
    out["right_chassis"] =
        view.record.chassis ? journal::to_json(*view.record.chassis) : json(nullptr);
    out["right_part"] = view.record.part ? journal::to_json(*view.record.part) : json(nullptr);
    return out;
}

/// One line for a person, with a line feed.
std::string line_of(const desk::ProcedureView& view) {
    const witness::ProcedureFinding& finding = view.record.finding;
    std::string line = finding.id + "  " + view.chassis + "  ";
    line += witness::to_word(finding.word);
    if (view.unrecorded)
        line += ", unrecorded";
    line += code_text(finding.code);
    line += "  " + (finding.step.empty() ? finding.title : "step " + finding.step);
    line += "  " + finding.text;
    if (finding.advice)
        line += "  " + finding.advice->first + ": " + finding.advice->say;
    return printable(line) + '\n';
}

using SharedProcedure = desk::SharedView<desk::ProcedureView>;

const Rendered& rendered(const desk::Shown<desk::ProcedureView>& shown) {
    return shown.once([](const desk::ProcedureView& view) {
        const EntityTag tag = revision_tag(view);
        const json all = to_json(view);
        return Rendered{tag, to_body(all), line_of(view),
                        make_event(tag, to_line(all), view.revision,
                                   view.record.finding.phase == witness::Phase::closed)};
    });
}

tl::expected<desk::ProcedureWish, ProblemDetails> procedure_wish_of(const Request& request) {
    static constexpr std::array<Known, 7> known{{{"chassis", true},
                                                 {"procedure", true},
                                                 {"arguments", false, true},
                                                 {"accepted", false, true},
                                                 {"ticket"},
                                                 {"window"},
                                                 {"approver"}}};
    if (auto wrong = not_json(request))
        return tl::unexpected{std::move(*wrong)};
    auto key = idempotency_key(request);
    if (!key)
        return tl::unexpected{std::move(key).error()};
    auto members = read_strings(request.body, known);
    if (!members)
        return tl::unexpected{std::move(members).error()};
    desk::ProcedureWish wish;
    wish.chassis = members->at("chassis");
    wish.procedure = members->at("procedure");
    static constexpr std::string_view arguments = "arguments/", accepted = "accepted/";
    for (const auto& [name, value] : *members)
        if (name.starts_with(arguments)) {
            wish.arguments[name.substr(arguments.size())] = value;
        } else if (name.starts_with(accepted)) {
            auto component = component_named("accepted", name.substr(accepted.size()));
            if (!component)
                return tl::unexpected{std::move(component).error()};
            wish.accepted.push_back({std::move(*component), value});
        }
    wish.ticket = (*members)["ticket"];
    wish.window = (*members)["window"];
    wish.approver = (*members)["approver"];
    wish.by = request.asker.name;
    wish.idempotency_key = std::move(*key);
    return wish;
}

Response done_response(const Request& request, const ProcedureDone& done, units::Instant now,
                       int status) {
    if (!done)
        return to_response(to_problem(done.error()), request.path);
    const desk::ProcedureView view = desk::as_of(*done, now);
    Response response;
    response.status = status;
    response.fields = {{"Content-Type", std::string{json_type}},
                       {"ETag", to_text(revision_tag(view))}};
    response.body = to_body(to_json(view));
    return response;
}

} // namespace

Response no_such_procedure(const Request& request, std::string_view id) {
    desk::Refusal refusal;
    refusal.kind = desk::Refusal::Kind::no_such_procedure;
    refusal.problem.found = id;
    refusal.problem.remedy = "GET /v1/procedures lists the procedures there are.";
    return to_response(to_problem(refusal), request.path);
}

Next get_procedures(const Request& request, const Places&, const desk::Desk& desk) {
    std::vector<SharedProcedure> views = desk.procedures();
    const auto range =
        paged(request, views, [](const auto& view) { return view->record.opened.id; });
    if (!range)
        return to_response(range.error(), request.path);
    std::string tags;
    for (const SharedProcedure& view : views)
        tags += view->record.finding.id + "." + revision_tag(*view).opaque + " ";
    const auto make_json = [&] {
        json all = json::array();
        for (const SharedProcedure& view : views)
            all.push_back(to_json(*view));
        return to_body(listed("procedures", std::move(all), *range));
    };
    const auto make_text = [&] {
        std::string lines;
        for (const SharedProcedure& view : views)
            lines += line_of(*view);
        return lines + more_line(*range);
    };
    Response response = conditional(request, {tags, true}, make_json, make_text);
    add_link(response, *range);
    return response;
}

Response procedure_shown(const Request& request, std::string_view id, const desk::Desk& desk) {
    const auto view = desk.procedure(id);
    return view ? conditional(request, rendered(*view)) : no_such_procedure(request, id);
}

Next get_procedure(const Request& request, const Places& places, const desk::Desk& desk) {
    const std::string& id = places.front();
    const auto view = desk.procedure(id);
    if (!view)
        return no_such_procedure(request, id);
    Response now_shown = conditional(request, rendered(*view));
    const auto wait = preferred_wait(request);
    if (!wait)
        return now_shown;
    return shown_or_awaited(request, std::move(now_shown),
                            {AwaitChange::Of::procedure, id, std::nullopt, desk.now() + *wait},
                            view->revision, view->record.finding.phase == witness::Phase::closed);
}

Next get_procedure_changes(const Request& request, const Places& places, const desk::Desk& desk) {
    return follow(request, AwaitChange::Of::procedure, places.front(), desk);
}

SharedEvent procedure_event(const SharedProcedure& view) {
    return event_of(view, rendered(*view));
}

Next post_procedure(const Request& request, const Places&, const desk::Desk&) {
    auto wish = procedure_wish_of(request);
    if (!wish)
        return refused_body(request, wish.error());
    return OpenProcedure{std::move(*wish)};
}

Response procedure_opened(const Request& request, const ProcedureDone& done, units::Instant now) {
    Response response = done_response(request, done, now, 201);
    if (done) // RFC 9110 §15.3.2
        response.fields.push_back(
            {"Location", "/v1/procedures/" + percent_encoded(done->record.opened.id)});
    return response;
}

Response procedure_acted(const Request& request, const ProcedureDone& done, units::Instant now) {
    return done_response(request, done, now, 200);
}

} // namespace slotwitness::api
