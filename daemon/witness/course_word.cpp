#include "course.hpp"

#include <algorithm>
#include <utility>

// The one word for the person at the rack. STOP outranks CALL, CALL outranks WAIT; STATE MET needs
// everything seen and met, now.
namespace slotwitness::witness {

namespace {

/// Why the clock is shorter than the procedure's limit; to be put behind a sentence.
std::string shortened_by(const std::optional<Cooling>& cooling) {
    if (!cooling || cooling->finding().shortened.empty())
        return "";
    return " " + cooling->finding().shortened;
}

} // namespace

Advice Course::advice(const std::optional<Advice>& own) const {
    if (own)
        return *own;
    if (const Step* step = current())
        return step->plan->if_wrong;
    const Steps& steps = finding_.phase == Phase::forward || back_.empty() ? forward_ : back_;
    return steps.back().plan->if_wrong;
}

Course::Told Course::tell() const {
    if (!is_open())
        return {Word::wait, "The procedure is closed.", std::nullopt, std::nullopt, ""};
    if (auto told = stop())
        return std::move(*told);
    if (auto told = call())
        return std::move(*told);
    return wait_or_met();
}

std::optional<Course::Told> Course::stop() const {
    auto lost = stop_of_work();
    if (!right_chassis_.finding().lost)
        return lost;
    // Who stands at another chassis must not follow the advice for this one.
    return Told{Word::stop,
                "You may be at another chassis. " + right_chassis_.said() +
                    (lost ? ". Also: " + lost->text : "."),
                Advice{"freeze", "Touch nothing. Read the chassis serial from the rack again, "
                                 "character by character, and tell the engineer."},
                std::nullopt, code(Decision::elsewhere)};
}

std::optional<Course::Told> Course::stop_of_work() const {
    // All that is lost is named; what to do is said by the first rule that has an advice of its
    // own.
    std::string text;
    const RulePlan* advises = nullptr;
    for (const Rule& rule : rules_) {
        if (!rule.finding().lost)
            continue;
        text += (text.empty() ? "No longer met: " : " Nor: ") + rule.plan().say + ". " +
                rule.finding().because.text;
        if (!advises && rule.plan().if_wrong)
            advises = &rule.plan();
    }
    const auto told = [this](std::string said, const RulePlan* rule = nullptr) {
        return Told{Word::stop, std::move(said), advice(rule ? rule->if_wrong : std::nullopt),
                    std::nullopt, code(Decision::stop, rule ? rule->name : "")};
    };
    if (!text.empty())
        return told(std::move(text), advises);
    for (const Steps* steps : {&forward_, &back_})
        for (const Step& step : *steps)
            if (step.finding.lost) {
                const GateFinding* fact = gate(step.finding.fact);
                return told("No longer met: " + step.plan->fact.sentence +
                            (fact ? ". " + fact->because.text : "."));
            }
    if (cooling_ && cooling_->finding().passed)
        return told("Fan tray " + cooling_->plan().tray + " has been out too long: the limit was " +
                    units::to_rfc3339(*cooling_->finding().limit) + "." + shortened_by(cooling_));
    return std::nullopt;
}

std::optional<Course::Told> Course::call() const {
    const auto decide = [this](Decision decision, std::string text,
                               const RulePlan* rule = nullptr) {
        const bool is_rules = rule && rule->if_wrong;
        return Told{Word::call, std::move(text), advice(is_rules ? rule->if_wrong : std::nullopt),
                    std::nullopt, code(decision, is_rules ? rule->name : "")};
    };
    const auto told = [&](std::string text) { return decide(Decision::call, std::move(text)); };
    if (cooling_ && cooling_->finding().turning_back)
        return decide(Decision::turn_back, "The old part is not out, and fan tray " +
                                               cooling_->plan().tray + " must be back by " +
                                               units::to_rfc3339(*cooling_->finding().limit) +
                                               ": put the tray back." + shortened_by(cooling_));
    if (cooling_ && cooling_->finding().accepted)
        return told("Fan tray " + cooling_->plan().tray + " is out beyond its limit; " +
                    cooling_->finding().answered_by + " has answered for it.");
    if (right_part_ && right_part_->is_wrong())
        return Told{
            Word::call, right_part_->said() + ".",
            Advice{"call",
                   std::string(cooling_ && cooling_->runs() ? "The cooling clock runs on. " : "") +
                       "Do not start it. Read the serial on the part's label to "
                       "the engineer, who answers for it or begins the way back."},
            std::nullopt, code(Decision::call)};
    if (cooling_ && !cooling_->finding().unseen.empty())
        return told(cooling_->finding().unseen.begin()->second);
    for (const Rule& rule : rules_)
        if (rule.finding().active && rule.finding().accepted)
            return decide(Decision::call,
                          "Not met, and " + rule.finding().answered_by +
                              " has answered for it: " + rule.plan().say + ".",
                          &rule.plan());
    for (const Steps* steps : {&forward_, &back_})
        for (const Step& step : *steps)
            if (step.finding.accepted)
                return told("Not met, and " + step.finding.answered_by +
                            " has answered for it: " + step.plan->fact.sentence + ".");
    const Step* step = current();
    if (!step && handback_ && handback_->differs())
        return told(handback_->differences());
    if (!step)
        return std::nullopt;
    if (right_part_ && right_part_->finding().accepted)
        return told(right_part_->said() + "; " + right_part_->finding().answered_by +
                    " has answered for it.");
    if (step->plan->technician && right_chassis_.finding().accepted)
        return told("At which chassis the technician stands is not known; " +
                    right_chassis_.finding().answered_by + " has answered for it. " +
                    right_chassis_.said() + ".");
    const StepFinding& finding = step->finding;
    const std::string& id = finding.stage == Stage::confirmed ? finding.effect : finding.fact;
    if (const auto found = not_opened_.find(id); found != not_opened_.end())
        return told("What this step waits for cannot be judged: " + found->second);
    const GateFinding* waits = gate(id);
    const bool does_wait = finding.stage == Stage::fact || finding.stage == Stage::confirmed;
    if (does_wait && waits && waits->verdict == Verdict::fail)
        return told("Overdue: " + waits->sentence + ". " + waits->because.text);
    if (!finding.forced_by.empty())
        return decide(Decision::forced,
                      "Passed over by " + finding.forced_by + ": " + finding.reason);
    if (finding.stage == Stage::confirmed && step->plan->technician && step->shows_at_once &&
        waits && waits->truth == Truth::no && waits->last_look &&
        waits->last_look->asked - step->plan->effect->refresh >= *finding.confirmed)
        return told("The device does not report what was said to be done: you may be at another "
                    "chassis. " +
                    waits->because.text);
    return std::nullopt;
}

Course::Told Course::wait_or_met() const {
    const auto wait = [](std::string text) {
        return Told{Word::wait, std::move(text), std::nullopt, std::nullopt, ""};
    };
    const Step* step = current();
    if (!step && handback_ && !handback_->compared_at_end())
        return wait("All steps have ended. The chassis is looked at once more as a whole.");
    if (!step && handback_ && !is_clean(handback_->finding()->items))
        return wait("All steps have ended. " + handback_->differences());
    if (!step)
        return wait("All steps have ended. The engineer closes the procedure.");
    const StepFinding& finding = step->finding;
    const GateFinding* waits =
        gate(finding.stage == Stage::confirmed ? finding.effect : finding.fact);
    if (finding.undo_until && (!step->plan->effect || (waits && waits->verdict == Verdict::pass)))
        return wait("Done. The next step opens once this can no longer be taken back.");
    if (!waits)
        return wait("Nothing was looked at yet.");
    if (finding.stage == Stage::confirmed)
        return wait("Done, and not seen yet: " + waits->sentence + ". " + waits->because.text);
    if (waits->verdict != Verdict::pass || waits->standing != Standing::met)
        return wait(waits->because.text + (finding.stage == Stage::released
                                               ? " If the act has ended it, confirm it."
                                               : ""));
    std::optional<Instant> valid_until = waits->valid_until;
    for (const Step& each : forward_) {
        const GateFinding* guarded = each.is_guarded ? gate(each.finding.fact) : nullptr;
        if (!guarded)
            continue;
        if (guarded->standing != Standing::met)
            return wait("Not seen to be met still: " + guarded->sentence + ". " +
                        guarded->because.text);
        valid_until = std::min(*valid_until, guarded->valid_until);
    }
    for (const Rule& rule : rules_) {
        if (!rule.finding().active)
            continue;
        if (rule.finding().truth != Truth::yes)
            return wait("Not seen to hold: " + rule.plan().say + ". " +
                        rule.finding().because.text);
        valid_until = std::min(*valid_until, *rule.finding().valid_until);
    }
    if (finding.stage == Stage::fact && step->plan->technician && opening_->right_chassis &&
        !right_chassis_.is_settled())
        return wait("The device reports what this step waits for; " +
                    right_chassis_.unsettled().found + ".");
    if (finding.stage == Stage::fact)
        return wait("The device reports what this step waits for; the engineer has not released "
                    "it.");
    return {Word::state_met, waits->because.text, std::nullopt, valid_until,
            code(Decision::released)};
}

} // namespace slotwitness::witness
