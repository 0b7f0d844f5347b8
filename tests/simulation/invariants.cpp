#include "invariants.hpp"

#include <slotwitness/journal/chain.hpp>
#include <slotwitness/journal/codec.hpp>
#include <slotwitness/sentences/sentence.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <optional>
#include <utility>

namespace slotwitness::simulation {

namespace {

using chassis::Snapshot;
using units::Duration;
using units::Instant;
using witness::GateFinding;
using witness::Stage;
using witness::Standing;
using witness::Truth;
using witness::Verdict;
using witness::Word;

std::string at(Instant time) {
    return units::to_rfc3339(time).substr(11, 12);
}

/// A chassis with the lists that were heard, each from its own answer.
Snapshot together(const std::vector<const Heard*>& answers) {
    Snapshot all = *answers.front()->shown;
    for (const Heard* answer : answers) {
        if (answer->asking == "planes")
            all.planes = answer->shown->planes;
        else if (answer->asking == "modules")
            all.modules = answer->shown->modules;
        else if (answer->asking == "trays")
            all.trays = answer->shown->trays;
    }
    return all;
}

/// Adds of `all` those that no row of `rows` has the name of.
template <class Row>
void add_unlisted(std::vector<Row>& rows, const std::vector<Row>& all, std::string Row::*name) {
    for (const Row& each : all)
        if (std::none_of(rows.begin(), rows.end(),
                         [&](const Row& row) { return row.*name == each.*name; }))
            rows.push_back(each);
}

} // namespace

void Invariants::breaks(const std::string& name, std::string text) {
    broken_.push_back({name, std::move(text)});
}

/// What the baseline does not list is then as if it were well.
void Invariants::note_baseline(Chassis& place) {
    place.missing = sound_chassis("", "");
    const auto leave = [](auto& rows, const auto& listed) {
        std::erase_if(rows, [&](const auto& row) {
            return std::any_of(listed.begin(), listed.end(),
                               [&](const auto& each) { return each.slot == row.slot; });
        });
    };
    leave(place.missing.modules, place.heard["modules"].back().shown->modules);
    leave(place.missing.trays, place.heard["trays"].back().shown->trays);
}

std::optional<bool> Invariants::truth(const Chassis& place, const Known& condition, Snapshot now) {
    if (condition.ranges) {
        add_unlisted(now.modules, place.missing.modules, &chassis::ModuleRow::slot);
        add_unlisted(now.trays, place.missing.trays, &chassis::TrayRow::slot);
    }
    return condition.truth(now);
}

/// Of all else two rows disagree.
std::optional<bool> Invariants::alone(const Chassis& place, const Known& condition,
                                      const Heard& heard) {
    static const Snapshot nothing = [] {
        Snapshot twice;
        for (const std::string number : {"1", "1", "2", "2", "3", "3"}) {
            twice.planes.emplace_back().name = number;
            twice.modules.emplace_back().slot = "FAB" + number;
            twice.trays.emplace_back().slot = "TRAY" + number;
        }
        return twice;
    }();
    Heard rest = heard;
    rest.asking.clear();
    rest.shown = std::shared_ptr<const Snapshot>(std::shared_ptr<void>(), &nothing);
    return truth(place, condition, together({&rest, &heard}));
}

void Invariants::heard(const std::string& chassis, const Heard& heard) {
    if (!heard.shown && heard.whole && heard.asking != "chassis")
        breaks("right chassis", chassis + " was asked \"" + heard.asking +
                                    "\" of another chassis at its address, at " + at(heard.at));
    Chassis& place = chassis_[chassis];
    place.heard[heard.asking].push_back(heard);
    place.news.push_back(heard);
}

void Invariants::begun(const desk::LiveDesk& desk, Instant now, const std::string& found) {
    begun_at_ = now;
    for (auto& [name, chassis] : chassis_) {
        chassis.interruptions.push_back(now);
        chassis.news.clear(); // nobody was told of it
        chassis.denied = false;
    }
    for (const auto& [procedure, rule] : std::exchange(unrecorded_, {}))
        lost_[procedure].erase(rule);
    if (!found.empty()) {
        ++met_["unconfirmed entry found"];
        const auto decoded = journal::from_line(found);
        const std::string chassis = nlohmann::json::parse(found).at("chassis");
        check_acts(decoded->event, decoded->findings);
        for (const witness::Finding& finding : decoded->findings)
            take(chassis, finding);
    }
    for (const auto& [id, recorded] : gates_) {
        const auto view = desk.gate(id);
        if (!view)
            breaks("same gates", "gate " + id + " is gone after a restart");
        else if (view->finding.verdict != recorded.verdict ||
                 view->finding.sentence != recorded.sentence ||
                 view->finding.deadline != recorded.deadline)
            breaks("same gates", "gate " + id + " is another one after a restart");
        else if (!view->finding.retired &&
                 (view->finding.standing == Standing::met || view->finding.truth == Truth::yes))
            breaks("same gates", "gate " + id + " is shown as met before anybody looked again");
    }
    for (const auto& [key, id] : gate_keys_)
        if (!desk.gate(id))
            breaks("same gates", "gate " + id + ", which somebody was told of, is gone");
    for (const std::string& id : told_procedures_) {
        const auto view = desk.procedure(id);
        if (!view) {
            breaks("same gates", "procedure " + id + ", which somebody was told of, is gone");
            continue;
        }
        if (view->record.finding.word == Word::state_met)
            breaks("same gates",
                   "procedure " + id + " shows STATE MET before anybody looked again");
        for (const std::string& step : released_[id])
            if (const auto seen = view->record.steps.find(step);
                seen == view->record.steps.end() || !seen->second.released)
                breaks("same gates", "the release of step " + step + " is forgotten");
    }
}

void Invariants::published(const std::string& chassis, const desk::Recorded& recorded) {
    Chassis& place = chassis_[chassis];
    place.denied = !recorded.stored;
    if (!recorded.stored) {
        place.interruptions.push_back(recorded.event.at);
        return;
    }
    check_acts(recorded.event, recorded.outcome.findings);
    for (const witness::Finding& finding : recorded.outcome.findings)
        take(chassis, finding);
}

void Invariants::take(const std::string& chassis, const witness::Finding& finding) {
    if (const auto* told = std::get_if<witness::ProcedureFinding>(&finding)) {
        ++met_[std::string(to_word(told->word))];
        if (told->outcome)
            ++met_["closed " + std::string(to_word(*told->outcome))];
    }
    if (std::holds_alternative<witness::BaselineFixed>(finding))
        note_baseline(chassis_[chassis]);
    if (std::holds_alternative<witness::RoundMissed>(finding))
        ++met_["round missed"];
    const auto* gate = std::get_if<GateFinding>(&finding);
    if (!gate)
        return;
    GateFinding& before = gates_[gate->id];
    if (before.verdict != Verdict::pending && before.verdict != gate->verdict)
        breaks("decided once", "gate " + gate->id + " was " + std::string(to_word(before.verdict)) +
                                   " and is " + std::string(to_word(gate->verdict)));
    if (before.last_look != gate->last_look || before.truth != gate->truth)
        check_look(chassis, *gate);
    if (gate->verdict == Verdict::pass && before.verdict != Verdict::pass)
        check_pass(chassis, *gate);
    if (gate->verdict != before.verdict)
        ++met_["gate " + std::string(to_word(gate->verdict)) +
               (gate->needs > Duration(0) ? " with a hold" : "")];
    if (gate->standing == Standing::lost && before.standing != Standing::lost)
        ++met_["gate lost"];
    before = *gate;
}

/// A look says what was true when the tables of its answers were made, or nothing.
void Invariants::check_look(const std::string& chassis, const GateFinding& finding) {
    if (!finding.last_look || finding.truth == Truth::unknown)
        return;
    const Known& condition = known(finding.sentence);
    std::vector<const Heard*> answers;
    for (const std::string& asking : condition.askings) {
        const auto& all = chassis_[chassis].heard[asking];
        const auto answer = std::find_if(all.rbegin(), all.rend(), [&](const Heard& each) {
            return each.asked >= finding.last_look->asked && each.at <= finding.last_look->answered;
        });
        if (answer != all.rend() && answer->shown && (answer->whole || finding.truth == Truth::no))
            answers.push_back(&*answer);
    }
    const std::string told = "gate " + finding.id + ", " + finding.sentence + ", at " +
                             at(finding.last_look->answered) + ": ";
    if (answers.size() != condition.askings.size()) {
        if (finding.truth == Truth::yes)
            breaks("supported", told + "true without a whole answer to each query");
        return;
    }
    const auto was = truth(chassis_[chassis], condition, together(answers));
    if (finding.truth == Truth::yes && was != true)
        breaks("supported", told + "said to be true, and was not");
    if (finding.truth == Truth::no && was != false)
        breaks("supported", told + "said to be false, and was not");
}

/// From the first look of the hold on every answer was whole and true, none was missing for too
/// long, nothing was interrupted.
void Invariants::check_pass(const std::string& chassis, const GateFinding& finding) {
    const std::string told = "gate " + finding.id + ", " + finding.sentence + ": ";
    if (!finding.last_look || finding.truth != Truth::yes) {
        breaks("supported", told + "passed without a look that is true");
        return;
    }
    const witness::Look look = *finding.last_look;
    if (look.asked < finding.opened)
        breaks("supported", told + "passed by a look from before it was opened");
    if (finding.deadline && look.answered > *finding.deadline)
        breaks("supported", told + "passed after its deadline");
    if (finding.needs == Duration(0))
        return;
    const Instant since = look.asked - refresh - finding.needs;
    for (const Instant interruption : chassis_[chassis].interruptions)
        if (interruption > since && interruption <= look.answered)
            breaks("supported", told + "its hold runs over an interruption at " + at(interruption));
    const auto given = gaps_.find(finding.id);
    const Duration longest = given == gaps_.end() ? gap : given->second;
    const Known& condition = known(finding.sentence);
    for (const std::string& asking : condition.askings) {
        const Heard* later = nullptr;
        const auto& all = chassis_[chassis].heard[asking];
        bool reached = false;
        for (auto each = all.rbegin(); each != all.rend() && !reached; ++each) {
            if (each->at > look.answered)
                continue;
            reached = each->at <= since;
            if (!each->whole || !each->shown)
                breaks("supported", told + "its hold runs over an answer that was not whole, at " +
                                        at(each->at));
            else if (alone(chassis_[chassis], condition, *each) == false)
                breaks("supported", told + "its hold runs over an answer that shows it false, at " +
                                        at(each->at));
            if (later && later->at - each->asked > longest)
                breaks("supported", told + "its hold runs over a gap before " + at(later->at));
            later = &*each;
        }
        if (!reached)
            breaks("supported", told + "no answer is as old as its hold");
    }
}

/// Nothing is done twice, whoever asks how often.
void Invariants::check_acts(const witness::Event& event,
                            const std::vector<witness::Finding>& findings) {
    for (const witness::Finding& finding : findings)
        if (std::holds_alternative<witness::ProcedureRefused>(finding) ||
            std::holds_alternative<witness::GateRefused>(finding)) {
            ++met_["act refused"];
            return;
        }
    std::string act;
    if (const auto* released = std::get_if<witness::StepReleased>(&event.what)) {
        act = "release of " + released->act.procedure + "." + released->act.step;
    } else if (const auto* confirmed = std::get_if<witness::StepConfirmed>(&event.what)) {
        act = "confirmation of " + confirmed->act.procedure + "." + confirmed->act.step;
    } else if (const auto* undone = std::get_if<witness::StepUnconfirmed>(&event.what)) {
        acts_.erase("confirmation of " + undone->act.procedure + "." + undone->act.step);
        ++met_["undo"];
    } else if (const auto* gate = std::get_if<witness::GateOpened>(&event.what)) {
        gaps_[gate->id] = gate->gap;
        if (!gate->idempotency_key.empty())
            act = "opening with the key " + gate->idempotency_key;
    } else if (const auto* procedure = std::get_if<witness::ProcedureOpened>(&event.what)) {
        act = "opening with the key " + procedure->idempotency_key;
    } else if (const auto* answered = std::get_if<witness::StopAnswered>(&event.what)) {
        lost_[answered->procedure].erase(answered->name);
    } else if (const auto* closed = std::get_if<witness::ProcedureClosed>(&event.what)) {
        lost_.erase(closed->procedure);
    }
    if (const auto* run = std::get_if<witness::RunStarted>(&event.what)) {
        ++met_["run begun"];
        if (!run->lost.empty())
            ++met_["loss carried over"];
        if (!run->elapsed_known)
            ++met_["time unknown"];
    }
    if (!act.empty())
        ++met_[act.substr(0, act.find(' '))];
    if (!act.empty() && !acts_.insert(act).second)
        breaks("done once", "twice in the journal: " + act);
}

void Invariants::gate_opened(const std::string&, const std::string& key,
                             const desk::GateView& view) {
    const auto [known, is_new] = gate_keys_.emplace(key, view.finding.id);
    if (!is_new && known->second != view.finding.id)
        breaks("done once",
               "the key " + key + " opened gate " + known->second + " and gate " + view.finding.id);
}

void Invariants::procedure_opened(const desk::ProcedureView& view) {
    told_procedures_.insert(view.record.opened.id);
}

void Invariants::step_released(const std::string& procedure, const std::string& step) {
    released_[procedure].insert(step);
}

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

void Invariants::end(const std::string& chassis, const std::vector<journal::Entry>& entries,
                     const std::string& difference) {
    if (!difference.empty())
        breaks("replays", chassis + ": " + difference);
    journal::Head head;
    for (const journal::Entry& entry : entries) {
        if (entry.sequence != head.sequence + 1 || entry.previous != head.hash ||
            entry.hash != journal::digest_of(entry.line))
            breaks("stays whole", "entry " + std::to_string(entry.sequence) + " of " + chassis);
        head = {entry.sequence, entry.hash};
    }
}

} // namespace slotwitness::simulation
