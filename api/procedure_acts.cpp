#include "body.hpp"
#include "preconditions.hpp"
#include "problem.hpp"
#include "procedures.hpp"
#include "shown.hpp"

#include <slotwitness/readback/spelling.hpp>
#include <slotwitness/sentences/sentence.hpp>

#include <algorithm>
#include <array>
#include <charconv>
#include <optional>

// What people do to a procedure. Who they are never comes from the body.
namespace slotwitness::api {

namespace {

using Members = std::map<std::string, std::string>;
template <class Value>
using Or = tl::expected<Value, ProblemDetails>;

ProblemDetails bad(std::string field, std::string found, std::string expected, std::string remedy) {
    ProblemDetails problem;
    problem.status = 422;
    problem.kind = "bad-member";
    problem.detail = "A member of the body is wrong.";
    problem.field = std::move(field);
    problem.found = std::move(found);
    problem.expected = std::move(expected);
    problem.remedy = std::move(remedy);
    return problem;
}

/// The one revision that If-Match names: RFC 6585 §3 where it is left out.
Or<std::uint64_t> revision_of(const Request& request) {
    ProblemDetails problem;
    problem.field = "If-Match";
    problem.expected = "the step's revision in quotes, such as \"4\"";
    problem.remedy = "Read the procedure again; each of its steps has a revision.";
    const auto value = request.field("If-Match");
    if (!value) {
        problem.status = 428;
        problem.detail = "An act upon a step must say which state of it was seen.";
        problem.found = "nothing";
        return tl::unexpected{std::move(problem)};
    }
    const auto condition = parse_tag_condition(*value);
    if (condition && condition->tags.size() == 1 && !condition->tags.front().weak) {
        const std::string& digits = condition->tags.front().opaque;
        std::uint64_t revision = 0;
        const char* const end = digits.data() + digits.size();
        const auto [stop, error] = std::from_chars(digits.data(), end, revision);
        if (error == std::errc() && stop == end)
            return revision;
    }
    problem.status = 400;
    problem.kind = "bad-field";
    problem.detail = "A header field is wrong.";
    problem.found = *value;
    return tl::unexpected{std::move(problem)};
}

/// 412 where the step is another than the one that was seen; the witness judges it again in turn.
std::optional<ProblemDetails> seen_before(const witness::StepAct& act,
                                          const desk::ProcedureView& view) {
    const auto step = view.record.steps.find(act.step);
    if (step == view.record.steps.end() || step->second.revision == act.revision)
        return std::nullopt;
    ProblemDetails problem;
    problem.status = 412;
    problem.detail = "The step has changed since it was seen.";
    problem.field = "If-Match";
    problem.found = std::to_string(act.revision);
    problem.expected = std::to_string(step->second.revision);
    problem.remedy = "Read the procedure again before you act.";
    return problem;
}

Or<Members> members_of(const Request& request, std::span<const Known> known) {
    if (auto wrong = not_json(request))
        return tl::unexpected{std::move(*wrong)};
    return read_strings(request.body, known);
}

Or<witness::StepAct> step_act(const Request& request, const Members& members,
                              const desk::ProcedureView& view) {
    const auto revision = revision_of(request);
    if (!revision)
        return tl::unexpected{revision.error()};
    const auto step = members.find("step");
    if (step == members.end())
        return tl::unexpected{bad("step", "nothing", "a step's name", "Add the member.")};
    witness::StepAct act{view.record.opened.id, step->second, *revision, request.asker.name};
    if (auto problem = seen_before(act, view))
        return tl::unexpected{std::move(*problem)};
    return act;
}

std::string text_of(const Members& members, const char* name) {
    const auto found = members.find(name);
    return found == members.end() ? std::string() : found->second;
}

/// Empty where no code was read back. Whether it is the right one the witness says.
Or<std::string> read_back_of(const Members& members) {
    const std::string said = text_of(members, "read_back");
    if (!members.contains("read_back"))
        return said;
    if (auto code = readback::read(said))
        return std::move(*code);
    return tl::unexpected{bad("read_back", said,
                              "a code of three characters, such as K7F or Kilo Seven Foxtrot",
                              "Let it be read again, character by character.")};
}

Or<witness::Closing> outcome_of(const Members& members) {
    const std::string text = text_of(members, "outcome");
    for (const auto outcome :
         {witness::Closing::done, witness::Closing::backed_out, witness::Closing::closed_degraded})
        if (witness::to_word(outcome) == text)
            return outcome;
    return tl::unexpected{
        bad("outcome", text, "done, backed_out or closed_degraded", "Say how the work ended.")};
}

/// What is answered for: a rule or a step by name, where the technician stands, which part is in
/// the work slot, else the cooling clock.
Or<witness::StopAnswered> answer_of(const Members& members, const Request& request,
                                    const std::string& id) {
    using Of = witness::StopAnswered::Of;
    const std::string said = text_of(members, "of");
    if (!said.empty() && said != "chassis" && said != "serial" && said != "cooling")
        return tl::unexpected{bad("of", said, "chassis, serial or cooling",
                                  "Name a rule or a step by members of their own.")};
    const Of of = members.contains("rule")   ? Of::rule
                  : members.contains("step") ? Of::step
                  : said == "chassis"        ? Of::chassis
                  : said == "serial"         ? Of::serial
                                             : Of::cooling;
    return witness::StopAnswered{id, of,
                                 of == Of::rule   ? members.at("rule")
                                 : of == Of::step ? members.at("step")
                                                  : "",
                                 request.asker.name, text_of(members, "reason")};
}

Or<desk::ProcedureAct> act_of(const Request& request, const Members& members,
                              const desk::ProcedureView& view) {
    const std::string& id = view.record.opened.id;
    const std::string what = text_of(members, "act");
    const std::string reason = text_of(members, "reason");
    if (what == "answer") {
        auto answer = answer_of(members, request, id);
        if (!answer)
            return tl::unexpected{std::move(answer).error()};
        return std::move(*answer);
    }
    if (what == "at-chassis")
        return witness::ChassisNamed{id, text_of(members, "serial_end"), request.asker.name,
                                     text_of(members, "on_behalf_of")};
    if (what == "back-out")
        return witness::BackOutBegun{id, request.asker.name, reason};
    if (what == "waive") {
        auto component = component_named("component", text_of(members, "component"));
        if (!component)
            return tl::unexpected{std::move(component).error()};
        return witness::DifferenceWaived{id, std::move(*component), request.asker.name, reason};
    }
    if (what == "take-shift")
        return witness::ShiftTaken{id, request.asker.name};
    if (what == "close") {
        const auto outcome = outcome_of(members);
        if (!outcome)
            return tl::unexpected{outcome.error()};
        return witness::ProcedureClosed{id, *outcome, request.asker.name,
                                        text_of(members, "ticket"), reason};
    }
    if (what != "try-again" && what != "force" && what != "skip")
        return tl::unexpected{bad("act", what,
                                  "answer, at-chassis, back-out, close, force, skip, take-shift, "
                                  "try-again or waive",
                                  "Releases and confirmations have paths of their own.")};
    auto act = step_act(request, members, view);
    if (!act)
        return tl::unexpected{std::move(act).error()};
    if (what == "try-again")
        return witness::StepTriedAgain{std::move(*act)};
    return witness::StepForced{std::move(*act), what == "skip", reason};
}

/// Finds the procedure, reads the body, makes the act.
template <class Make>
Next act_on(const Request& request, const Places& places, const desk::Desk& desk,
            std::span<const Known> known, const Make& make) {
    const auto view = desk.procedure(places.front());
    if (!view)
        return procedure_shown(request, places.front(), desk);
    const auto members = members_of(request, known);
    if (!members)
        return refused_body(request, members.error());
    Or<desk::ProcedureAct> act = make(*members, *view);
    if (!act)
        return refused_body(request, act.error());
    return ActOn{std::move(*act)};
}

} // namespace

Or<witness::Component> component_named(const std::string& field, const std::string& text) {
    const auto sentence = sentences::parse(text + " present");
    const auto* one = sentence ? std::get_if<sentences::OneIs>(&sentence->condition.node) : nullptr;
    if (!one || sentence->hold || sentence->within)
        return tl::unexpected{bad(field, text, "a kind and a name, such as module FAB3",
                                  "Name one as the device prints it.")};
    return witness::Component{one->subject.kind, one->subject.name};
}

namespace {

/// What a rack token may not do: it is for what is done at the rack, by its person alone.
ProblemDetails not_from_the_rack(const Members& members, std::string field, std::string expected) {
    const bool on_behalf = members.contains("on_behalf_of");
    ProblemDetails problem;
    problem.status = 403;
    problem.kind = "not-at-the-rack";
    problem.detail = "A rack token tells where the technician stands and what they did, and "
                     "nothing else.";
    problem.field = on_behalf ? "on_behalf_of" : std::move(field);
    problem.found = text_of(members, problem.field.c_str());
    problem.expected = on_behalf ? "nothing" : std::move(expected);
    problem.remedy = "The engineer does this.";
    return problem;
}

std::optional<ProblemDetails> not_at_the_rack(const Request& request, const Members& members,
                                              const desk::ProcedureView& view) {
    if (!request.asker.is(tokens::Role::rack))
        return std::nullopt;
    const auto is_engineers = [&](const std::vector<witness::StepPlan>& steps) {
        return std::ranges::any_of(steps, [&](const witness::StepPlan& step) {
            return step.name == text_of(members, "step") && !step.technician;
        });
    };
    const bool on_behalf = members.contains("on_behalf_of");
    const witness::ProcedureOpened& opened = view.record.opened;
    if (!on_behalf && !is_engineers(opened.steps) && !is_engineers(opened.back_out))
        return std::nullopt;
    return not_from_the_rack(members, "step", "a step of the technician");
}

} // namespace

Next post_confirmation(const Request& request, const Places& places, const desk::Desk& desk) {
    static constexpr std::array<Known, 3> known{{{"step", true}, {"on_behalf_of"}, {"read_back"}}};
    return act_on(request, places, desk, known,
                  [&](const Members& members, const auto& view) -> Or<desk::ProcedureAct> {
                      if (auto problem = not_at_the_rack(request, members, view))
                          return tl::unexpected{std::move(*problem)};
                      auto act = step_act(request, members, view);
                      if (!act)
                          return tl::unexpected{std::move(act).error()};
                      auto read_back = read_back_of(members);
                      if (!read_back)
                          return tl::unexpected{std::move(read_back).error()};
                      return witness::StepConfirmed{
                          std::move(*act), text_of(members, "on_behalf_of"), std::move(*read_back)};
                  });
}

namespace {

/// An act that says no more than upon which step: {"step": …}.
template <class Act>
Next act_on_step(const Request& request, const Places& places, const desk::Desk& desk) {
    static constexpr std::array<Known, 1> known{{{"step", true}}};
    return act_on(request, places, desk, known,
                  [&](const Members& members, const auto& view) -> Or<desk::ProcedureAct> {
                      if (auto problem = not_at_the_rack(request, members, view))
                          return tl::unexpected{std::move(*problem)};
                      auto act = step_act(request, members, view);
                      if (!act)
                          return tl::unexpected{std::move(act).error()};
                      return Act{std::move(*act)};
                  });
}

} // namespace

Next post_release(const Request& request, const Places& places, const desk::Desk& desk) {
    return act_on_step<witness::StepReleased>(request, places, desk);
}

Next post_undo(const Request& request, const Places& places, const desk::Desk& desk) {
    return act_on_step<witness::StepUnconfirmed>(request, places, desk);
}

Next post_act(const Request& request, const Places& places, const desk::Desk& desk) {
    static constexpr std::array<Known, 10> known{{{"act", true},
                                                  {"step"},
                                                  {"rule"},
                                                  {"component"},
                                                  {"of"},
                                                  {"reason"},
                                                  {"outcome"},
                                                  {"ticket"},
                                                  {"serial_end"},
                                                  {"on_behalf_of"}}};
    return act_on(
        request, places, desk, known,
        [&](const Members& members, const auto& view) -> Or<desk::ProcedureAct> {
            if (request.asker.is(tokens::Role::rack) &&
                (text_of(members, "act") != "at-chassis" || members.contains("on_behalf_of")))
                return tl::unexpected{not_from_the_rack(members, "act", "at-chassis")};
            return act_of(request, members, view);
        });
}

} // namespace slotwitness::api
