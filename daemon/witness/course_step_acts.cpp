#include "course.hpp"
#include "not_done.hpp"

#include <algorithm>
#include <utility>

// What people do to the step under way. Each act is checked against the state as it is when its
// turn comes, since two people may act at once.
namespace slotwitness::witness {

namespace {

std::string spoken_step(const std::string& name) {
    return "step " + name;
}

} // namespace

tl::expected<Course::Step*, state::Problem> Course::acted_upon(const StepAct& act) {
    if (auto refused = no_name(act.by))
        return tl::unexpected(std::move(*refused));
    Step* step = current();
    if (!step)
        return tl::unexpected(not_done(spoken_step(act.step), "no step: all have ended",
                                       "Close the procedure, or begin the way back."));
    if (step->plan->name != act.step)
        return tl::unexpected(not_done(spoken_step(act.step), spoken_step(step->plan->name),
                                       "Look again: another step is under way."));
    if (step->finding.revision != act.revision)
        return tl::unexpected(not_done("revision " + std::to_string(act.revision),
                                       "revision " + std::to_string(step->finding.revision),
                                       "Look again: the step has changed since you saw it."));
    return step;
}

/// The step's fact is seen to be met at this instant.
bool Course::is_met(Instant at, const Step& step) const {
    const GateFinding* fact = gate(step.finding.fact);
    return fact && fact->verdict == Verdict::pass && fact->standing == Standing::met &&
           fact->valid_until >= at;
}

/// Why the engineer cannot release the step now.
Refused Course::not_ready(Instant at, const Step& step) const {
    if (step.finding.stage != Stage::fact)
        return not_done(spoken_step(step.plan->name) + ", " +
                            std::string(to_word(step.finding.stage)),
                        "a step that waits for its release", "It was released before.");
    if (const auto stopped = stop())
        return not_done("STOP: " + stopped->text, "nothing lost that nobody has answered for",
                        "Answer for it, or begin the way back.");
    if (step.plan->technician && opening_->right_chassis && !right_chassis_.is_settled())
        return right_chassis_.unsettled();
    // Which part it is keeps nobody from putting the fan tray back.
    if (right_part_ && right_part_->is_wrong() && !(cooling_ && cooling_->runs()))
        return right_part_->wrong();
    const GateFinding* fact = gate(step.finding.fact);
    if (!is_met(at, step))
        return not_done(fact && !fact->because.text.empty() ? fact->because.text
                                                            : "no look at it yet",
                        step.plan->fact.sentence,
                        "Wait until it is met, or force the step with your name and the reason.");
    for (const Step& each : forward_)
        if (each.is_guarded && !each.finding.accepted && !is_met(at, each))
            return not_done(gate(each.finding.fact)->because.text, each.plan->fact.sentence,
                            "Wait until it is seen to be met still, or force the step with your "
                            "name and the reason.");
    for (const Rule& rule : rules_)
        if (const RuleFinding& finding = rule.finding();
            finding.active && !finding.accepted &&
            (finding.truth != Truth::yes || *finding.valid_until < at))
            return not_done(finding.because.text, rule.plan().holds.sentence,
                            "Wait until the rule \"" + rule.plan().name +
                                "\" is seen to hold, or force the step with your name and the "
                                "reason.");
    return std::nullopt;
}

Refused Course::happen(Instant at, const StepReleased& event) {
    const auto step = acted_upon(event.act);
    if (!step)
        return step.error();
    if (auto refused = not_ready(at, **step))
        return refused;
    StepFinding& finding = (*step)->finding;
    finding.stage = Stage::released;
    finding.released = at;
    finding.released_by = event.act.by;
    finding.code = code(Decision::released);
    (*step)->is_guarded = !(*step)->plan->until.empty();
    if (cooling_ && cooling_->plan().begins == finding.name)
        cooling_->allow();
    mark(**step);
    return std::nullopt;
}

Refused Course::happen(Instant at, const StepConfirmed& event) {
    const auto step = acted_upon(event.act);
    if (!step)
        return step.error();
    if ((*step)->finding.stage != Stage::released)
        return not_done(spoken_step(event.act.step) + ", " +
                            std::string(to_word((*step)->finding.stage)),
                        "a step that is released", "Wait for the engineer's release.");
    if (!event.read_back.empty() && event.read_back != (*step)->finding.code)
        return misread(**step, event.read_back);
    (*step)->finding.read_back = !event.read_back.empty();
    (*step)->finding.confirmed_by = event.act.by;
    (*step)->finding.on_behalf_of = event.on_behalf_of;
    confirm(**step, at);
    return std::nullopt;
}

void Course::confirm(Step& step, Instant at) {
    step.finding.stage = Stage::confirmed;
    step.finding.confirmed = at;
    step.attempt = step.taken_back + 1;
    mark(step);
    if (opening_->undo > Duration(0))
        step.finding.undo_until = at + opening_->undo;
    else if (!step.is_guarded)
        end_gate(step.finding.fact, pending_);
    if (step.plan->effect)
        ask(step, true, pending_);
    if (!cooling_)
        return;
    if (cooling_->plan().begins == step.plan->name)
        cooling_->begin(at);
    if (cooling_->plan().out == step.plan->name)
        cooling_->part_is_out();
}

/// The step is as it was before. A cooling clock that the confirmation started goes on until a look
/// shows the tray in its place, as it does whenever somebody has said that the tray is out.
Refused Course::happen(Instant at, const StepUnconfirmed& event) {
    const auto step = acted_upon(event.act);
    if (!step)
        return step.error();
    StepFinding& finding = (*step)->finding;
    if (finding.stage != Stage::confirmed || !finding.undo_until || *finding.undo_until <= at)
        return not_done(spoken_step(finding.name) + ", " + std::string(to_word(finding.stage)),
                        "a step that was confirmed a moment ago",
                        "Begin the way back, or tell the engineer.");
    end_gate(finding.effect, pending_);
    finding.effect.clear();
    (*step)->taken_back = (*step)->attempt;
    finding.stage = Stage::released;
    finding.confirmed.reset();
    finding.undo_until.reset();
    finding.confirmed_by.clear();
    finding.on_behalf_of.clear();
    finding.read_back = false;
    finding.unconfirmed_by = event.act.by;
    if (cooling_ && cooling_->plan().out == finding.name)
        cooling_->part_is_in(at);
    mark(**step);
    return std::nullopt;
}

Refused Course::happen(Instant, const StepTriedAgain& event) {
    const auto step = acted_upon(event.act);
    if (!step)
        return step.error();
    const StepFinding& finding = (*step)->finding;
    const bool effect = finding.stage == Stage::confirmed;
    const std::string& id = effect ? finding.effect : finding.fact;
    const GateFinding* gate = this->gate(id);
    if ((!effect && finding.stage != Stage::fact) ||
        ((!gate || gate->verdict != Verdict::fail) && !not_opened_.contains(id)))
        return not_done(spoken_step(finding.name) + ", " + std::string(to_word(finding.stage)),
                        "a step whose fact or effect was not met in time",
                        "It is still looked at: wait.");
    ++(*step)->attempt;
    ask(**step, effect, pending_);
    mark(**step);
    return std::nullopt;
}

Refused Course::happen(Instant at, const StepForced& event) {
    const auto step = acted_upon(event.act);
    if (!step)
        return step.error();
    if (auto refused = no_reason(event.act.by, event.reason))
        return refused;
    StepFinding& finding = (*step)->finding;
    if (!event.skipped && finding.stage == Stage::released)
        return not_done(spoken_step(finding.name) + ", released",
                        "a step that waits for its fact or its effect", "Confirm it, or skip it.");
    finding.forced_by = event.act.by;
    finding.reason = event.reason;
    if (event.skipped || finding.stage == Stage::confirmed) {
        end_gate(finding.effect, pending_);
        if (!(*step)->is_guarded)
            end_gate(finding.fact, pending_);
        finding.stage = event.skipped ? Stage::skipped : Stage::done;
        finding.undo_until.reset();
        finding.ended = at;
    } else {
        end_gate(finding.fact, pending_); // it is not guarded: nobody saw it met
        finding.stage = Stage::released;
        finding.released = at;
        finding.released_by = event.act.by;
        finding.code = code(Decision::forced);
        if (cooling_ && cooling_->plan().begins == finding.name)
            cooling_->allow();
    }
    mark(**step);
    return std::nullopt;
}

} // namespace slotwitness::witness
