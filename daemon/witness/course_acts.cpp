#include "course.hpp"
#include "not_done.hpp"

#include <algorithm>
#include <utility>

// What people do to a procedure under way as a whole; what they do to its step is in
// course_step_acts.cpp.
namespace slotwitness::witness {

Refused Course::happen(Instant, const StopAnswered& event) {
    if (auto refused = no_reason(event.by, event.reason))
        return refused;
    const auto nothing = [&] {
        return not_done(std::string(to_word(event.of)) + (event.name.empty() ? "" : " ") +
                            event.name,
                        "what is lost and not answered for", "Look again at what stops the work.");
    };
    switch (event.of) {
    case StopAnswered::Of::rule:
        for (Rule& rule : rules_)
            if (rule.plan().name == event.name && rule.answer(event.by, event.reason))
                return std::nullopt;
        return nothing();
    case StopAnswered::Of::step:
        for (Steps* steps : {&forward_, &back_})
            for (Step& step : *steps)
                if (step.plan->name == event.name && step.finding.lost) {
                    step.finding.lost = false;
                    step.finding.accepted = step.is_guarded && !step.met_since_lost;
                    step.finding.answered_by = event.by;
                    step.finding.answer = event.reason;
                    mark(step);
                    return std::nullopt;
                }
        return nothing();
    case StopAnswered::Of::cooling:
        if (cooling_ && cooling_->answer(event.by, event.reason))
            return std::nullopt;
        return nothing();
    case StopAnswered::Of::chassis:
        if (right_chassis_.answer(event.by, event.reason))
            return std::nullopt;
        return nothing();
    case StopAnswered::Of::serial:
        if (right_part_ && right_part_->answer(event.by, event.reason))
            return std::nullopt;
        return nothing();
    }
    return nothing();
}

Refused Course::happen(Instant at, const ChassisNamed& event) {
    if (auto refused = no_name(event.by))
        return refused;
    return right_chassis_.name(at, event);
}

Refused Course::happen(Instant, const DifferenceWaived& event) {
    if (auto refused = no_reason(event.by, event.reason))
        return refused;
    const std::string said = std::string(state::to_word(event.component.kind)) +
                             (event.component.name.empty() ? "" : " ") + event.component.name;
    if (!handback_ || !handback_->waive(event.component, event.by, event.reason))
        return not_done(said, "a part that the handback names",
                        "Look again at what differs from before the work.");
    return std::nullopt;
}

Refused Course::happen(Instant at, const BackOutBegun& event) {
    if (auto refused = no_reason(event.by, event.reason))
        return refused;
    if (finding_.phase != Phase::forward)
        return not_done("a procedure that is on its way back", "one on its way forward",
                        "Go on with the steps back.");
    for (Step& step : forward_) {
        end_gate(step.finding.fact, pending_);
        end_gate(step.finding.effect, pending_);
        end_guard(step);
        if (step.finding.stage == Stage::fact || step.finding.stage == Stage::released ||
            step.finding.stage == Stage::confirmed) {
            step.finding.undo_until.reset();
            step.finding.ended = at;
            mark(step);
        }
    }
    const auto was_released = [this](const std::string& name) {
        return std::any_of(forward_.begin(), forward_.end(), [&](const Step& step) {
            return step.plan->name == name && step.finding.released;
        });
    };
    std::erase_if(back_, [&](const Step& step) { return !was_released(step.plan->undoes); });
    if (right_part_)
        right_part_->turn_back();
    finding_.phase = Phase::backing_out;
    at_ = 0;
    return std::nullopt;
}

Refused Course::happen(Instant, const ShiftTaken& event) {
    if (auto refused = no_name(event.by))
        return refused;
    finding_.in_charge = event.by;
    return std::nullopt;
}

Refused Course::happen(Instant, const ForecastMade& event) {
    if (!cooling_ || !cooling_->runs())
        return not_done("a forecast for sensor " + event.sensor, "a cooling clock that runs",
                        "It says nothing of this procedure.");
    cooling_->forecast(event);
    return std::nullopt;
}

Refused Course::happen(Instant at, const ProcedureClosed& event) {
    if (auto refused = no_name(event.by))
        return refused;
    const bool ended = current() == nullptr;
    const Phase wanted = event.outcome == Closing::done ? Phase::forward : Phase::backing_out;
    if (event.outcome == Closing::closed_degraded) {
        if (event.ticket.empty() || event.reason.empty())
            return not_done("no ticket or no reason", "where the work goes on, and why",
                            "Give the ticket and a sentence.");
    } else if (const auto stopped = stop()) {
        return not_done("STOP: " + stopped->text, "nothing lost that nobody has answered for",
                        "Answer for it, or close the procedure as degraded with a ticket.");
    } else if (cooling_ && cooling_->runs()) {
        return not_done("fan tray " + cooling_->plan().tray + " not seen operational again",
                        "a device whose cooling is whole",
                        "Put the tray back, or close the procedure as degraded with a ticket.");
    } else if (!ended || finding_.phase != wanted) {
        return not_done(std::string(to_word(finding_.phase)) +
                            (ended ? ", all steps ended" : ", step " + finding_.step),
                        event.outcome == Closing::done ? "all steps forward ended"
                                                       : "all steps back ended",
                        "Go on, or close it as degraded with a ticket.");
    } else if (handback_) {
        if (auto why = handback_->why_not(at))
            return not_done(
                std::move(*why), "every part as it was or meant to change, or waived by name",
                "Wait for the next whole look, waive by name what is known, or close it "
                "as degraded with a ticket.");
    }
    for (Steps* steps : {&forward_, &back_})
        for (Step& step : *steps) {
            end_gate(step.finding.fact, pending_);
            end_gate(step.finding.effect, pending_);
            end_guard(step);
            step.finding.undo_until.reset();
        }
    for (Rule& rule : rules_)
        rule.end();
    finding_.phase = Phase::closed;
    finding_.outcome = event.outcome;
    finding_.closed = at;
    return std::nullopt;
}

} // namespace slotwitness::witness
