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

std::string Invariants::at(Instant time) {
    return units::to_rfc3339(time).substr(11, 12);
}

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
