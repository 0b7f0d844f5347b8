#include "course.hpp"

#include <utility>

// From step to step: what each one has looked for, and until when.
namespace slotwitness::witness {

std::vector<Order> Course::advance(Instant now) {
    std::vector<Order> orders = std::exchange(pending_, {});
    while (Step* step = current()) {
        StepFinding& finding = step->finding;
        if (finding.stage == Stage::waiting)
            open(*step, now, orders);
        if (finding.stage == Stage::confirmed) {
            if (finding.undo_until && now < *finding.undo_until)
                break;
            settle(*step, orders);
            const GateFinding* effect = gate(finding.effect);
            if (step->plan->effect && (!effect || effect->verdict != Verdict::pass))
                break;
            end_gate(finding.effect, orders);
            finding.stage = Stage::done;
            finding.ended = now;
            mark(*step);
        }
        if (finding.stage != Stage::done && finding.stage != Stage::skipped)
            break;
        ++at_;
    }
    return orders;
}

/// Until then its fact is looked at, for it may be needed again.
void Course::settle(Step& step, std::vector<Order>& orders) {
    if (!step.finding.undo_until)
        return;
    step.finding.undo_until.reset();
    if (!step.is_guarded)
        end_gate(step.finding.fact, orders);
}

/// What ends and begins with a step does so as it opens.
void Course::open(Step& step, Instant now, std::vector<Order>& orders) {
    step.finding.stage = Stage::fact;
    step.finding.opened = now;
    mark(step);
    end_guards(step.plan->name, orders);
    for (Rule& rule : rules_) {
        const RulePlan& plan = rule.plan();
        if (plan.until == step.plan->name)
            rule.end();
        else if (plan.from == step.plan->name || (plan.from.empty() && &step == &forward_.front()))
            rule.begin(now);
    }
    ask(step, false, orders);
}

void Course::ask(Step& step, bool effect, std::vector<Order>& orders) {
    const SentencePlan& plan = effect ? *step.plan->effect : step.plan->fact;
    std::string id = opening_->id + "." + step.plan->name + (effect ? ".effect" : "");
    if (step.attempt > 1)
        id += "." + std::to_string(step.attempt);
    (effect ? step.finding.effect : step.finding.fact) = id;
    gates_[id]; // its own from now on
    orders.emplace_back(GateOpened{std::move(id), plan.sentence, plan.askings, plan.gap,
                                   plan.refresh, Duration(0), "procedure " + opening_->id, ""});
}

void Course::end_guard(Step& step) {
    step.is_guarded = false;
    step.finding.accepted = false;
}

void Course::end_guards(std::string_view until, std::vector<Order>& orders) {
    for (Step& step : forward_)
        if (step.is_guarded && step.plan->until == until) {
            end_guard(step);
            end_gate(step.finding.fact, orders);
        }
}

void Course::end_gate(const std::string& id, std::vector<Order>& orders) {
    if (!id.empty())
        orders.emplace_back(GuardEnded{id});
}

} // namespace slotwitness::witness
