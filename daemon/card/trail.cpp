#include "trail.hpp"

#include <slotwitness/witness/say.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::card {

namespace {

using namespace witness;

std::string spoken(const StopAnswered& answered) {
    switch (answered.of) {
    case StopAnswered::Of::rule:
        return "rule " + answered.name;
    case StopAnswered::Of::step:
        return "step " + answered.name;
    case StopAnswered::Of::cooling:
        return "the cooling clock";
    case StopAnswered::Of::chassis:
        return "the right chassis";
    case StopAnswered::Of::serial:
        return "the serial of the part in the work slot";
    }
    return answered.name;
}

/// Nothing: it is no deed that a step's own finding does not tell.
template <class Other>
std::optional<Deed> deed_of(const Other&) {
    return std::nullopt;
}
std::optional<Deed> deed_of(const ShiftTaken& taken) {
    return Deed{{}, Deed::Kind::shift_taken, "", taken.by, "", ""};
}
std::optional<Deed> deed_of(const ChassisNamed& named) {
    return Deed{{}, Deed::Kind::chassis_named, "", named.by, named.on_behalf_of, named.serial_end};
}
std::optional<Deed> deed_of(const StepUnconfirmed& undone) {
    return Deed{{}, Deed::Kind::unconfirmed, undone.act.step, undone.act.by, "", ""};
}
std::optional<Deed> deed_of(const StepTriedAgain& tried) {
    return Deed{{}, Deed::Kind::tried_again, tried.act.step, tried.act.by, "", ""};
}
std::optional<Deed> deed_of(const StepForced& forced) {
    return Deed{{},
                forced.skipped ? Deed::Kind::skipped : Deed::Kind::forced,
                forced.act.step,
                forced.act.by,
                "",
                forced.reason};
}
std::optional<Deed> deed_of(const StopAnswered& answered) {
    return Deed{{}, Deed::Kind::stop_answered, spoken(answered), answered.by, "", answered.reason};
}
std::optional<Deed> deed_of(const DifferenceWaived& waived) {
    return Deed{{}, Deed::Kind::waived, spoken(waived.component), waived.by, "", waived.reason};
}
std::optional<Deed> deed_of(const BackOutBegun& begun) {
    return Deed{{}, Deed::Kind::backed_out, "", begun.by, "", begun.reason};
}
std::optional<Deed> deed_of(const ProcedureClosed& closed) {
    return Deed{{}, Deed::Kind::closed, closed.ticket, closed.by, "", closed.reason};
}

/// The procedure that an act is upon.
template <class What>
std::string procedure_of(const What& what) {
    if constexpr (requires { what.act.procedure; })
        return what.act.procedure;
    else if constexpr (requires { what.procedure; })
        return what.procedure;
    else
        return "";
}

} // namespace

std::string_view to_word(Deed::Kind value) {
    switch (value) {
    case Deed::Kind::shift_taken:
        return "shift_taken";
    case Deed::Kind::chassis_named:
        return "chassis_named";
    case Deed::Kind::unconfirmed:
        return "unconfirmed";
    case Deed::Kind::tried_again:
        return "tried_again";
    case Deed::Kind::forced:
        return "forced";
    case Deed::Kind::skipped:
        return "skipped";
    case Deed::Kind::stop_answered:
        return "stop_answered";
    case Deed::Kind::waived:
        return "waived";
    case Deed::Kind::backed_out:
        return "backed_out";
    case Deed::Kind::closed:
        return "closed";
    }
    return "closed";
}

void Trail::take(const std::string& procedure, const Event& event,
                 const std::vector<Finding>& findings) {
    if (closed)
        return;
    last = event.at;
    note(event);
    const bool is_refused =
        std::any_of(findings.begin(), findings.end(), [&](const Finding& finding) {
            const auto* refused = std::get_if<ProcedureRefused>(&finding);
            return refused != nullptr && refused->procedure == procedure;
        });
    auto deed = std::visit(
        [&](const auto& what) {
            return procedure_of(what) == procedure ? deed_of(what) : std::nullopt;
        },
        event.what);
    if (deed && !is_refused) {
        deed->at = event.at;
        deeds.push_back(std::move(*deed));
    }
    for (const Finding& finding : findings)
        note(procedure, event.at, finding);
}

void Trail::note(const Event& event) {
    if (std::holds_alternative<RunStarted>(event.what))
        restarts.push_back(event.at);
    const auto* answer = std::get_if<Answered>(&event.what);
    if (answer != nullptr && answer->ending.whole() && answer->reading && answer->reading->whole)
        newest[answer->asking] = Heard{answer->asking, answer->capture, event.at, answer->reading};
}

void Trail::note(const std::string& procedure, Instant at, const Finding& finding) {
    using Of = StopAnswered::Of;
    if (const auto* fixed = std::get_if<BaselineFixed>(&finding); fixed != nullptr && !baseline) {
        baseline = *fixed;
        for (const auto& [asking, capture] : fixed->captures)
            if (const auto heard = newest.find(asking);
                heard != newest.end() && heard->second.capture == capture)
                in_baseline.insert(*heard);
    } else if (const auto* switched = std::get_if<SwitchedOver>(&finding)) {
        switchovers.push_back({at, *switched});
    } else if (const auto* gate = std::get_if<GateFinding>(&finding)) {
        if (gate->id.starts_with(procedure + "."))
            gates[gate->id] = *gate;
    } else if (const auto* rule = std::get_if<RuleFinding>(&finding)) {
        if (rule->procedure == procedure)
            lost(rule->lost, {at, Of::rule, rule->name, rule->because.text, rule->because.cites});
    } else if (const auto* step = std::get_if<StepFinding>(&finding)) {
        if (step->procedure == procedure) {
            const auto fact = gates.find(step->fact);
            const Because because = fact == gates.end() ? Because{} : fact->second.because;
            lost(step->lost, {at, Of::step, step->name, because.text, because.cites});
        }
    } else if (const auto* clock = std::get_if<CoolingFinding>(&finding)) {
        if (clock->procedure == procedure)
            note(at, *clock);
    } else if (const auto* chassis = std::get_if<ChassisFinding>(&finding)) {
        if (chassis->procedure == procedure)
            lost(chassis->lost, {at,
                                 Of::chassis,
                                 "",
                                 "Read from the rack: \"" + chassis->read +
                                     "\"; the device reports: \"" + chassis->reported + "\".",
                                 {}});
    } else if (const auto* part = std::get_if<PartFinding>(&finding)) {
        if (part->procedure == procedure)
            lost(part->right == Truth::no,
                 {at,
                  Of::serial,
                  "",
                  "The device reports serial " + part->serial + "; meant is " + part->meant + ".",
                  {}});
    } else if (const auto* told = std::get_if<ProcedureFinding>(&finding)) {
        if (told->id == procedure)
            note(at, *told);
    }
}

void Trail::note(Instant at, const CoolingFinding& clock) {
    lost(clock.passed,
         {at, StopAnswered::Of::cooling, "", "The fan tray was out beyond its limit.", {}});
    if (!clock.began)
        return;
    // The beginning may be corrected while the clock runs; once it has ended another run begins.
    if (cooling.empty() || (cooling.back().ended && !clock.ended))
        cooling.push_back({*clock.began, {}, {}, "", false});
    CoolingRun& run = cooling.back();
    run.began = *clock.began;
    run.ended = clock.ended;
    if (clock.limit)
        run.limit = clock.limit;
    if (!clock.shortened.empty())
        run.shortened = clock.shortened;
    run.passed = run.passed || clock.passed;
}

void Trail::note(Instant at, const ProcedureFinding& told) {
    const bool alerts_now = told.word == Word::call || told.word == Word::stop;
    if (!alerts.empty() && !alerts.back().ended) {
        Alert& shown = alerts.back();
        if (alerts_now && shown.word == told.word && shown.step == told.step)
            return;
        shown.ended = at;
    }
    if (alerts_now)
        alerts.push_back({told.word, told.step, told.text, at, std::nullopt});
    closed = told.phase == Phase::closed;
}

void Trail::lost(bool is_lost, Loss loss) {
    bool& before = lost_[std::string(to_word(loss.of)) + " " + loss.name];
    if (is_lost && !before)
        losses.push_back(std::move(loss));
    before = is_lost;
}

} // namespace slotwitness::card
