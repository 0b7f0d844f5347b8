#include "invariants.hpp"

#include <algorithm>
#include <optional>
#include <utility>

// What must be so of all that the desk shows, beside what was recorded and heard.
namespace slotwitness::simulation {

namespace {

using units::Duration;
using units::Instant;
using witness::GateFinding;
using witness::Standing;
using witness::Truth;
using witness::Verdict;
using witness::Word;

} // namespace

void Invariants::look(const desk::LiveDesk& desk, bool settled, bool untroubled) {
    look_at_gates(desk, settled && untroubled);
    for (const auto& view : desk.procedures())
        if (view->record.finding.phase != witness::Phase::closed)
            look_at(*view, desk.now(), settled);
    if (!settled)
        return;
    const desk::Health health = desk.health();
    for (auto& [name, chassis] : chassis_) {
        chassis.news.clear();
        const auto tells = [&name = name](const std::string& reason) {
            return reason.find(name) != std::string::npos;
        };
        if (chassis.denied &&
            (health.ready || std::none_of(health.reasons.begin(), health.reasons.end(), tells)))
            breaks("said loudly", "the newest event of " + name +
                                      " is not recorded, and /readyz "
                                      "does not say so");
    }
    if (untroubled && !health.ready)
        breaks("recovers", "nothing is the matter any more, but: " + health.reasons.front());
}

void Invariants::look_at_gates(const desk::LiveDesk& desk, bool quiet) {
    const Instant now = desk.now();
    for (const auto& view : desk.gates()) {
        const GateFinding& finding = view->finding;
        const std::string told = "gate " + finding.id + ", " + finding.sentence + ": ";
        if (const auto recorded = gates_.find(finding.id);
            recorded != gates_.end() && recorded->second.verdict != finding.verdict)
            breaks("recorded first", told + "shown as " + std::string(to_word(finding.verdict)) +
                                         ", recorded as " +
                                         std::string(to_word(recorded->second.verdict)));
        if (now > finding.valid_until && !finding.retired &&
            (finding.standing == Standing::met || finding.truth == Truth::yes))
            breaks("not too old", told + "shown as met after " + at(finding.valid_until));
        if (quiet && finding.verdict == Verdict::pending && finding.deadline &&
            now > *finding.deadline + Duration(1))
            breaks("deadlines end", told + "still pending at " + at(now) + ", its deadline was " +
                                        at(*finding.deadline));
    }
}

void Invariants::look_at(const desk::ProcedureView& view, Instant now, bool settled) {
    const witness::ProcedureFinding& finding = view.record.finding;
    if (finding.word == Word::state_met)
        check_state_met(view, now, settled);
    if (!settled)
        return;
    std::set<std::string>& lost = lost_[finding.id];
    const bool denied = chassis_[view.chassis].denied;
    if (!denied)
        std::erase_if(unrecorded_, [&](const auto& each) { return each.first == finding.id; });
    for (const witness::RulePlan& plan : view.record.opened.rules) {
        const auto rule = view.record.rules.find(plan.name);
        if (rule == view.record.rules.end() || !rule->second.active || rule->second.accepted)
            continue;
        Instant since = finding.opened;
        if (const auto step = view.record.steps.find(plan.from); step != view.record.steps.end())
            since = *step->second.opened;
        const Known& condition = known(plan.holds.sentence);
        for (const Heard& heard : chassis_[view.chassis].news) {
            const auto& askings = condition.askings;
            if (!heard.clean || !heard.shown || heard.asked < since ||
                std::find(askings.begin(), askings.end(), heard.asking) == askings.end() ||
                alone(chassis_[view.chassis], condition, heard) != false)
                continue;
            ++met_["rule shown to be lost"];
            if (lost.insert(plan.name).second && denied)
                unrecorded_.emplace(finding.id, plan.name);
        }
    }
    if (!lost.empty() && finding.word != Word::stop)
        breaks("rules latch", "rule " + *lost.begin() + " was shown to be lost, and the word is " +
                                  std::string(to_word(finding.word)) + " at " + at(now));
}

/// What the step waits for and every rule was true by the newest answers, and these are young.
void Invariants::check_state_met(const desk::ProcedureView& view, Instant now, bool settled) {
    const witness::ProcedureFinding& finding = view.record.finding;
    const std::string told = "STATE MET at " + at(now) + " in step " + finding.step + ": ";
    if (!finding.valid_until || now > *finding.valid_until)
        breaks("not too old", told + "it is no longer valid");
    std::vector<std::string> sentences;
    for (const witness::StepPlan& step : view.record.opened.steps)
        if (step.name == finding.step)
            sentences.push_back(step.fact.sentence);
    for (const witness::RulePlan& plan : view.record.opened.rules)
        if (const auto rule = view.record.rules.find(plan.name);
            rule != view.record.rules.end() && rule->second.active)
            sentences.push_back(plan.holds.sentence);
    for (const std::string& sentence : sentences) {
        const Known& condition = known(sentence);
        std::optional<Instant> newest;
        for (const std::string& asking : condition.askings) {
            const auto& all = chassis_[view.chassis].heard[asking];
            if (all.empty() || all.back().at < begun_at_) {
                breaks("supported", told + "nobody asked for " + asking);
                continue;
            }
            newest = std::max(newest.value_or(all.back().at), all.back().at);
            if (settled && condition.askings.size() == 1 &&
                (!all.back().whole || !all.back().shown ||
                 alone(chassis_[view.chassis], condition, all.back()) != true))
                breaks("supported", told + sentence + " was not true at " + at(all.back().at));
        }
        if (newest && now > *newest + gap)
            breaks("not too old", told + sentence + " was seen last at " + at(*newest));
    }
}

} // namespace slotwitness::simulation
