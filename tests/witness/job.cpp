#include "job.hpp"

#include <stdexcept>

namespace slotwitness::witness::test {

namespace {

SentencePlan looked(const std::string& sentence, const std::string& asking) {
    return {sentence, {asking}, ms(6'000), ms(0)};
}

StepPlan step_of(const std::string& name, bool technician, SentencePlan fact, SentencePlan effect) {
    StepPlan step;
    step.name = name;
    step.technician = technician;
    step.act = "do " + name;
    step.if_wrong = {"freeze", "advice of " + name};
    step.fact = std::move(fact);
    step.effect = std::move(effect);
    return step;
}

} // namespace

ProcedureOpened small_job() {
    const SentencePlan all_up = looked("every plane up within 1 min", "planes");
    const SentencePlan shut_3 = looked("plane 3 shut within 1 min", "planes");
    const SentencePlan out = looked("fan-tray A absent within 1 min", "trays");
    const SentencePlan in = looked("fan-tray A operational within 1 min", "trays");
    ProcedureOpened opening;
    opening.id = "job";
    opening.title = "Pull a fan tray";
    opening.by = "Ada";
    opening.steps = {step_of("shut", false, all_up, shut_3), step_of("pull", true, shut_3, out),
                     step_of("seat", true, out, in), step_of("raise", false, in, all_up)};
    opening.steps[1].until = "raise";
    opening.steps[2].takes = ms(30'000);
    opening.back_out = {step_of("put-back", true, shut_3, in),
                        step_of("raise-again", false, in, all_up)};
    opening.back_out[0].undoes = "pull";
    opening.back_out[1].undoes = "shut";
    opening.rules = {{"others", "Every other fabric plane stays up",
                      looked("every plane except 3 up", "planes"), "", "",
                      Advice{"call", "advice of others"}},
                     {"tray-b",
                      "The other fan tray works",
                      looked("fan-tray B operational", "trays"),
                      "pull",
                      "raise",
                      {}}};
    opening.cooling = {
        "A", looked("fan-tray A operational", "trays"), "pull", "seat", "pull", ms(600'000)};
    return opening;
}

Job::Job(const ProcedureOpened& opening) {
    run(0, true, {{Kind::plane, {"1", "2", "3"}}, {Kind::fan_tray, {"A", "B"}}});
    tell({at(0), opening});
}

void Job::look(std::int64_t t) {
    begin(t, {"planes", "trays"});
    answer(t + 50, t,
           planes({{"1", device.plane_1}, {"2", device.plane_2}, {"3", device.plane_3}}));
    Sheet trays({Kind::fan_tray});
    for (const auto& [name, state] : {std::pair{"A", device.tray_a}, {"B", device.tray_b}}) {
        if (state == not_listed)
            continue;
        Facts told =
            facts(state::AdminState::unlocked, state == 'u'   ? state::OperState::enabled
                                               : state == '?' ? state::OperState::unknown
                                                              : state::OperState::disabled);
        if (*name == 'A' && !device.serial_a.empty())
            told.emplace_back(Attribute::serial, device.serial_a);
        trays.row(Kind::fan_tray, name, told);
    }
    for (const std::string& serial : device.serials)
        trays.row(Kind::chassis, "self", {{Attribute::serial, serial}});
    answer(t + 100, t + 50, trays, "trays");
}

StepAct Job::upon(const std::string& name) const {
    return {"job", name, step(name).revision, "Ada"};
}

void Job::release(std::int64_t t, const std::string& name) {
    act(t, StepReleased{upon(name)});
}

void Job::confirm(std::int64_t t, const std::string& name) {
    act(t, StepConfirmed{upon(name), ""});
}

void Job::reach_pull() {
    look(1'000);
    release(1'200, "shut");
    device.plane_3 = 's';
    confirm(2'000, "shut");
    look(2'100); // the effect
    look(3'000); // the fact of the next step
}

void Job::reach_seat() {
    reach_pull();
    release(3'200, "pull");
    device.tray_a = not_listed;
    confirm(4'000, "pull");
    look(4'100);
    look(5'000);
}

StepFinding Job::step(const std::string& name) const {
    std::optional<StepFinding> found;
    for (const StepFinding& finding : all<StepFinding>())
        if (finding.name == name)
            found = finding;
    if (!found)
        throw std::logic_error("no such step: " + name);
    return *found;
}

RuleFinding Job::rule(const std::string& name) const {
    std::optional<RuleFinding> found;
    for (const RuleFinding& finding : all<RuleFinding>())
        if (finding.name == name)
            found = finding;
    if (!found)
        throw std::logic_error("no such rule: " + name);
    return *found;
}

std::string Job::refused() const {
    for (std::size_t i = before; i < findings.size(); ++i)
        if (const auto* refused = std::get_if<ProcedureRefused>(&findings[i]))
            return state::to_text(refused->problem);
    return "";
}

} // namespace slotwitness::witness::test
