#include "procedure_driven.hpp"

#include "driven.hpp"
#include "procedure_generator.hpp"
#include "story.hpp"

#include <stdexcept>
#include <utility>

namespace slotwitness::oracle {

namespace {

constexpr const char* job = "job";

std::string rule_name(std::size_t rule) {
    return "rule-" + std::to_string(rule);
}

std::string gate_name(StepAt step, bool effect) {
    return std::string(job) + "." + name_of(step) + (effect ? ".effect" : "");
}

witness::SentencePlan plan_of(const Gate& gate) {
    return {sentence_of(gate), keys(gate.needs), units::Duration{gate.gap},
            units::Duration{gate.refresh}};
}

witness::StepPlan plan_of(StepAt at, const Step& step) {
    witness::StepPlan plan;
    plan.name = name_of(at);
    plan.technician = step.technician;
    plan.act = "Do it.";
    plan.if_wrong = {"freeze", "Freeze."};
    plan.fact = plan_of(step.fact);
    if (step.effect)
        plan.effect = plan_of(*step.effect);
    if (step.until)
        plan.until = name_of({false, *step.until});
    if (at.back)
        plan.undoes = name_of({false, step.undoes});
    if (step.takes)
        plan.takes = units::Duration{*step.takes};
    return plan;
}

witness::ProcedureOpened opening_of(const Procedure& procedure) {
    witness::ProcedureOpened opened;
    opened.id = job;
    opened.title = "A job";
    opened.chassis = "edge-7";
    opened.right_chassis = procedure.right_chassis;
    for (std::size_t n = 0; n < procedure.steps.size(); ++n)
        opened.steps.push_back(plan_of({false, n}, procedure.steps[n]));
    for (std::size_t n = 0; n < procedure.back_out.size(); ++n)
        opened.back_out.push_back(plan_of({true, n}, procedure.back_out[n]));
    const auto step = [](std::optional<std::size_t> n) {
        return n ? name_of({false, *n}) : std::string();
    };
    for (std::size_t n = 0; n < procedure.rules.size(); ++n) {
        const Rule& rule = procedure.rules[n];
        opened.rules.push_back(
            {rule_name(n), "It holds", plan_of(rule.holds), step(rule.from), step(rule.until), {}});
    }
    opened.undo = units::Duration{procedure.undo};
    if (const auto& cooling = procedure.cooling) {
        opened.cooling = witness::CoolingPlan{
            subjects[procedure.works].name,
            {std::string("fan-tray ") + subjects[procedure.works].name + " operational",
             keys({procedure.works}), units::Duration{cooling->limit},
             units::Duration{cooling->refresh}},
            step(cooling->begins),
            step(cooling->ends),
            step(cooling->out),
            units::Duration{cooling->limit}};
    }
    return opened;
}

/// What an answer about the tray says: that it works, stands still, is not there, or neither.
std::shared_ptr<const state::Reading> tray_reading(const Happened& happened) {
    const Subject& tray = subjects[happened.event.asking];
    auto reading = std::make_shared<state::Reading>();
    reading->whole = happened.event.whole;
    reading->lists = {state::Kind::fan_tray};
    if (happened.out == Truth::no) {
        const state::Value oper = happened.event.fact == Truth::yes  ? state::OperState::enabled
                                  : happened.event.fact == Truth::no ? state::OperState::disabled
                                                                     : state::OperState::unknown;
        state::Row row{state::Kind::fan_tray, tray.name, {2, 1}, tray.name, {}};
        row.facts[state::Attribute::oper] = {oper, {2, 7}};
        reading->rows.push_back(std::move(row));
    } else if (happened.out == Truth::unknown && happened.event.whole) {
        reading->unread.push_back({2, std::string(tray.name) + " ~~", 7, "a word"});
    }
    return reading;
}

/// The answer tells also which chassis it is: by one row, or by two that disagree.
std::shared_ptr<const state::Reading> with_serial(state::Reading reading, int serial) {
    for (const int each : serial == 0 ? std::vector{1017, 1018} : std::vector{serial}) {
        state::Row row{state::Kind::chassis, "self", {9, 1}, "self", {}};
        row.facts[state::Attribute::serial] = {"AB-" + std::to_string(each), {9, 7}};
        reading.rows.push_back(std::move(row));
    }
    return std::make_shared<const state::Reading>(std::move(reading));
}

Word from(witness::Word word) {
    switch (word) {
    case witness::Word::state_met:
        return Word::state_met;
    case witness::Word::wait:
        return Word::wait;
    case witness::Word::call:
        return Word::call;
    case witness::Word::stop:
        return Word::stop;
    }
    return Word::stop;
}

Stage from(witness::Stage stage) {
    switch (stage) {
    case witness::Stage::waiting:
        return Stage::waiting;
    case witness::Stage::fact:
        return Stage::fact;
    case witness::Stage::released:
        return Stage::released;
    case witness::Stage::confirmed:
        return Stage::confirmed;
    case witness::Stage::done:
        return Stage::done;
    case witness::Stage::skipped:
        return Stage::skipped;
    }
    return Stage::waiting;
}

Phase from(witness::Phase phase) {
    switch (phase) {
    case witness::Phase::forward:
        return Phase::forward;
    case witness::Phase::backing_out:
        return Phase::backing_out;
    case witness::Phase::closed:
        return Phase::closed;
    }
    return Phase::forward;
}

Closing from(witness::Closing closing) {
    switch (closing) {
    case witness::Closing::done:
        return Closing::done;
    case witness::Closing::backed_out:
        return Closing::backed_out;
    case witness::Closing::closed_degraded:
        return Closing::closed_degraded;
    }
    return Closing::closed_degraded;
}

std::optional<Time> from(const std::optional<witness::Instant>& at) {
    return at ? std::optional(time(*at)) : std::nullopt;
}

} // namespace

witness::StepAct DrivenProcedure::act(const Happened& happened) const {
    witness::StepAct act{job, name_of(happened.step), 0, happened.complete ? "Ada" : ""};
    if (happened.ago <= revisions_.size()) {
        const auto& then = revisions_[revisions_.size() - happened.ago];
        if (const auto saw = then.find(act.step); saw != then.end())
            act.revision = saw->second;
    }
    return act;
}

std::string DrivenProcedure::read_back(const Happened& happened) const {
    const auto step = steps_.find(name_of(happened.step));
    if (happened.read_back == Happened::ReadBack::nothing || step == steps_.end())
        return "";
    const std::string& code = step->second.code;
    return happened.read_back == Happened::ReadBack::right ? code : code == "K7F" ? "F7K" : "K7F";
}

witness::Event DrivenProcedure::translate(const Happened& happened) const {
    using Of = witness::StopAnswered::Of;
    const std::string by = "Ada", why = happened.complete ? "It is so." : "";
    const auto wrapped = [&](auto what) {
        return witness::Event{instant(happened.event.at), std::move(what)};
    };
    const auto closing = [&](witness::Closing how) {
        return wrapped(witness::ProcedureClosed{
            job, how, how == witness::Closing::closed_degraded || happened.complete ? by : "",
            happened.complete ? "T-7" : "", why});
    };
    switch (happened.deed) {
    case Deed::none: {
        witness::Event event = told_by_device(happened.event);
        if (auto* run = std::get_if<witness::RunStarted>(&event.what)) {
            using Of = witness::StopAnswered::Of;
            for (const std::size_t rule : happened.lost_rules)
                run->lost.push_back({job, Of::rule, rule_name(rule)});
            for (const StepAt step : happened.lost_steps)
                run->lost.push_back({job, Of::step, name_of(step)});
        }
        if (auto* answered = std::get_if<witness::Answered>(&event.what);
            answered && happened.event.asking == procedure_.works)
            answered->reading = tray_reading(happened);
        if (auto* answered = std::get_if<witness::Answered>(&event.what);
            answered && happened.event.serial)
            answered->reading = with_serial(*answered->reading, *happened.event.serial);
        return event;
    }
    case Deed::opened: {
        witness::ProcedureOpened opened = opening_of(procedure_);
        opened.by = std::to_string(happened.who);
        return wrapped(std::move(opened));
    }
    case Deed::released:
        return wrapped(witness::StepReleased{act(happened)});
    case Deed::confirmed:
        return wrapped(witness::StepConfirmed{act(happened), "", read_back(happened)});
    case Deed::unconfirmed:
        return wrapped(witness::StepUnconfirmed{act(happened)});
    case Deed::tried_again:
        return wrapped(witness::StepTriedAgain{act(happened)});
    case Deed::forced:
    case Deed::skipped:
        return wrapped(witness::StepForced{act(happened), happened.deed == Deed::skipped, why});
    case Deed::rule_answered:
        return wrapped(witness::StopAnswered{job, Of::rule, rule_name(happened.rule), by, why});
    case Deed::step_answered:
        return wrapped(witness::StopAnswered{job, Of::step, name_of(happened.step), by, why});
    case Deed::clock_answered:
        return wrapped(witness::StopAnswered{job, Of::cooling, "", by, why});
    case Deed::back_out:
        return wrapped(witness::BackOutBegun{job, by, why});
    case Deed::shift_taken:
        return wrapped(
            witness::ShiftTaken{job, happened.complete ? std::to_string(happened.who) : ""});
    case Deed::forecast:
        return wrapped(
            witness::ForecastMade{job, "inlet", instant(happened.forecast), "The inlet warms."});
    case Deed::closed_done:
        return closing(witness::Closing::done);
    case Deed::closed_backed_out:
        return closing(witness::Closing::backed_out);
    case Deed::closed_degraded:
        return closing(witness::Closing::closed_degraded);
    case Deed::chassis_named:
        return wrapped(witness::ChassisNamed{job, " -" + std::to_string(happened.serial),
                                             happened.complete ? by : "", ""});
    case Deed::chassis_answered:
        return wrapped(witness::StopAnswered{job, Of::chassis, "", by, why});
    case Deed::gate_opened: {
        Gate others;
        others.condition = fact(planes);
        if (happened.step.number % 2 == 1)
            others.condition = negation(std::move(others.condition));
        witness::GateOpened opened;
        opened.id = gate_name(happened.step, happened.effect);
        opened.sentence = sentence_of(others);
        opened.askings = keys({planes});
        opened.gap = units::Duration{9};
        opened.by = "somebody else";
        return wrapped(std::move(opened));
    }
    case Deed::gate_closed:
        return wrapped(
            witness::GateClosed{gate_name(happened.step, happened.effect), "somebody else"});
    }
    return wrapped(witness::Tick{});
}

void DrivenProcedure::step(const witness::Event& event) {
    witness::Outcome outcome = witness_.step(event);
    refused_ = false;
    for (witness::Finding& finding : outcome.findings) {
        if (auto* gate = std::get_if<witness::GateFinding>(&finding))
            gates_.insert_or_assign(gate->id, std::move(*gate));
        else if (auto* step = std::get_if<witness::StepFinding>(&finding))
            steps_.insert_or_assign(step->name, std::move(*step));
        else if (auto* rule = std::get_if<witness::RuleFinding>(&finding))
            rules_.insert_or_assign(rule->name, std::move(*rule));
        else if (auto* cooling = std::get_if<witness::CoolingFinding>(&finding))
            cooling_ = std::move(*cooling);
        else if (auto* chassis = std::get_if<witness::ChassisFinding>(&finding))
            chassis_ = std::move(*chassis);
        else if (auto* procedure = std::get_if<witness::ProcedureFinding>(&finding))
            finding_ = std::move(*procedure);
        else if (std::holds_alternative<witness::ProcedureRefused>(finding) ||
                 std::holds_alternative<witness::GateRefused>(finding))
            refused_ = true;
    }
    next_due_ = outcome.next_due ? std::optional(time(*outcome.next_due)) : std::nullopt;
}

void DrivenProcedure::tick(Time at) {
    step({instant(at), witness::Tick{}});
}

void DrivenProcedure::happen(const Happened& happened) {
    step(translate(happened));
    if (happened.deed == Deed::gate_opened && !refused_)
        others_.insert(gate_name(happened.step, happened.effect));
    revisions_.emplace_back();
    for (const auto& [name, finding] : steps_)
        revisions_.back()[name] = finding.revision;
}

std::optional<Verdict> DrivenProcedure::verdict(const std::string& id) const {
    const auto gate = gates_.find(id);
    if (gate == gates_.end() || others_.contains(gate->first))
        return std::nullopt;
    return from(gate->second.verdict);
}

Told DrivenProcedure::told() const {
    Told told;
    told.refused = refused_;
    if (!finding_)
        return told;
    told.open = true;
    told.phase = from(finding_->phase);
    if (finding_->outcome)
        told.outcome = from(*finding_->outcome);
    told.word = from(finding_->word);
    told.valid_until = from(finding_->valid_until);
    told.in_charge = std::stoi(finding_->in_charge);
    const auto step = [&](StepAt at) {
        const auto found = steps_.find(name_of(at));
        if (found == steps_.end())
            return StepTold();
        const witness::StepFinding& finding = found->second;
        if (finding.name == finding_->step)
            told.step = at;
        return StepTold{from(finding.stage),     from(finding.opened), from(finding.released),
                        from(finding.confirmed), from(finding.ended),  verdict(finding.fact),
                        verdict(finding.effect), finding.lost,         finding.accepted};
    };
    for (std::size_t n = 0; n < procedure_.steps.size(); ++n)
        told.steps.push_back(step({false, n}));
    for (std::size_t n = 0; n < procedure_.back_out.size(); ++n)
        told.back_out.push_back(step({true, n}));
    for (std::size_t n = 0; n < procedure_.rules.size(); ++n) {
        const witness::RuleFinding& rule = rules_.at(rule_name(n));
        told.rules.push_back({rule.active, rule.active ? from(rule.truth) : Truth::unknown,
                              rule.lost, rule.accepted});
    }
    // A code stands with each word but WAIT, upon which nobody acts.
    if (finding_->code.empty() != (finding_->word == witness::Word::wait))
        throw std::logic_error("the code \"" + finding_->code + "\" beside " +
                               std::string(to_word(finding_->word)));
    if (chassis_ && told.phase != Phase::closed)
        told.chassis = {chassis_->read.empty() ? std::nullopt
                                               : std::optional(std::stoi(chassis_->read)),
                        from(chassis_->same), chassis_->lost, chassis_->accepted};
    if (cooling_ && told.phase != Phase::closed)
        told.cooling = {from(cooling_->began),     from(cooling_->ended), from(cooling_->limit),
                        from(cooling_->turn_back), cooling_->passed,      cooling_->accepted,
                        cooling_->turning_back};
    return told;
}

} // namespace slotwitness::oracle
