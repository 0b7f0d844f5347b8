#include "director.hpp"

#include <slotwitness/witness/right_chassis.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::rehearsal {

using boost::asio::awaitable;
using witness::Phase;
using witness::Stage;
using witness::Word;

namespace {

const std::string engineer = "the engineer of the rehearsal";
const std::string technician = "the technician of the rehearsal";

bool is_technicians(const witness::ProcedureOpened& opened, const std::string& name) {
    for (const auto* steps : {&opened.steps, &opened.back_out})
        for (const witness::StepPlan& step : *steps)
            if (step.name == name)
                return step.technician;
    return false;
}

} // namespace

awaitable<Played> Director::play(const Rehearsal& rehearsal, std::string chassis) {
    const bool opened = co_await open(rehearsal, std::move(chassis));
    while (opened && view().record.finding.phase != Phase::closed && played_.faults.empty()) {
        const bool went_on = co_await go_on(rehearsal);
        if (went_on)
            continue;
        const bool is_new = co_await news();
        if (!is_new)
            fault("nothing happened for " + units::to_text(patience_));
    }
    if (!opened || !played_.faults.empty())
        co_return played_;
    if (turn_ != rehearsal.turns.size())
        fault("the turn at step " + rehearsal.turns[turn_].step + " never came");
    const desk::ProcedureView last = view();
    if (last.record.finding.outcome != rehearsal.outcome)
        fault("it ended " + std::string(to_word(*last.record.finding.outcome)) + ", not " +
              std::string(to_word(rehearsal.outcome)));
    for (const auto& [name, finding] : last.record.steps)
        if (finding.opened && finding.ended && finding.stage == Stage::done)
            played_.times[name] = *finding.ended - *finding.opened;
    co_return played_;
}

awaitable<bool> Director::open(const Rehearsal& rehearsal, std::string chassis) {
    desk::ProcedureWish wish{std::move(chassis),
                             rehearsal.procedure,
                             rehearsal.arguments,
                             engineer,
                             "rehearsal",
                             "",
                             "",
                             "",
                             rehearsal.accepted};
    const auto opened = co_await desk_.open_procedure(std::move(wish));
    if (!opened) {
        fault("it cannot be opened: " + state::to_text(opened.error().problem));
        co_return false;
    }
    played_.procedure = opened->record.opened.id;
    co_return true;
}

awaitable<bool> Director::news() {
    const desk::ProcedureView now = view();
    const units::Instant until = desk_.now() + patience_;
    co_await desk_.procedure_change(played_.procedure, now.revision, until);
    co_return view().revision != now.revision;
}

witness::StepFinding Director::step() const {
    const desk::ProcedureView now = view();
    const auto found = now.record.steps.find(now.record.finding.step);
    return found == now.record.steps.end() ? witness::StepFinding{} : found->second;
}

std::string Director::at_the_rack(const Rehearsal& rehearsal) const {
    if (!rehearsal.at_chassis.empty())
        return rehearsal.at_chassis;
    const auto chassis = desk_.chassis(view().chassis);
    const std::string serial = chassis ? chassis->serial.value_or("") : "";
    return serial.substr(serial.size() - std::min(serial.size(), witness::shortest_serial_end));
}

awaitable<bool> Director::go_on(const Rehearsal& rehearsal) {
    const desk::ProcedureView now = view();
    const witness::ProcedureFinding& finding = now.record.finding;
    const witness::StepFinding current = step();
    std::string line = std::string(to_word(finding.word)) + "  " +
                       (finding.step.empty() ? finding.title : "step " + finding.step) + "  " +
                       finding.text;
    if (line != last_line_)
        tell_(line);
    last_line_ = std::move(line);
    if (current.stage == Stage::fact && is_technicians(now.record.opened, finding.step) &&
        !now.record.chassis) {
        desk::ProcedureAct naming =
            witness::ChassisNamed{played_.procedure, at_the_rack(rehearsal), engineer, technician};
        co_return co_await act(std::move(naming), false);
    }
    if (turn_ < rehearsal.turns.size() && rehearsal.turns[turn_].step == finding.step &&
        rehearsal.turns[turn_].stage == current.stage) {
        const Turn& turn = rehearsal.turns[turn_++];
        co_await take_turn(turn);
        if (!turn.acts_on)
            acted_ = turn.step;
        co_return true;
    }
    if (finding.word == Word::stop || finding.word == Word::call) {
        if (finding.text == foreseen_)
            co_return false;
        fault("it shows " + std::string(to_word(finding.word)) +
              ", which nothing foresees: " + finding.text);
        co_return false;
    }
    if (finding.step.empty()) {
        const auto outcome =
            finding.phase == Phase::forward ? witness::Closing::done : witness::Closing::backed_out;
        desk::ProcedureAct closing =
            witness::ProcedureClosed{played_.procedure, outcome, engineer, "", ""};
        // Who is refused waits until the chassis was looked at as a whole once more.
        co_return co_await act(std::move(closing), true);
    }
    const witness::StepAct upon{played_.procedure, finding.step, current.revision, engineer};
    if (current.stage == Stage::fact) {
        const auto gate = desk_.gate(current.fact);
        if (!gate || gate->finding.standing != witness::Standing::met)
            co_return false;
        // Also the rules must be seen to hold; who is refused waits for the next look.
        desk::ProcedureAct releasing = witness::StepReleased{upon};
        co_return co_await act(std::move(releasing), true);
    }
    if (current.stage != Stage::released || finding.word != Word::state_met)
        co_return false;
    if (acted_ != finding.step) {
        acted_ = finding.step;
        if (const auto orders = rehearsal.orders.find(finding.step);
            orders != rehearsal.orders.end())
            order(orders->second);
    }
    const bool is_technician = is_technicians(now.record.opened, finding.step);
    desk::ProcedureAct confirming = witness::StepConfirmed{upon, is_technician ? technician : "",
                                                           is_technician ? current.code : ""};
    co_return co_await act(std::move(confirming), false);
}

awaitable<void> Director::take_turn(const Turn& turn) {
    order(turn.orders);
    while (!shows(turn)) {
        const bool is_new = co_await news();
        if (!is_new) {
            const auto finding = view().record.finding;
            fault("at step " + turn.step + " it must show " + std::string(to_word(turn.word)) +
                  " with \"" + turn.says + "\"; it shows " + std::string(to_word(finding.word)) +
                  ": " + finding.text);
            co_return;
        }
    }
    const auto finding = view().record.finding;
    tell_(std::string(to_word(finding.word)) + "  " + finding.text +
          (finding.advice ? "  " + finding.advice->first + ": " + finding.advice->say : ""));
    foreseen_ = finding.text;
    order(turn.then_orders);
    for (const Move& move : turn.then) {
        desk::ProcedureAct what = act_of(move);
        const bool done = co_await act(std::move(what), false);
        if (!done)
            co_return;
    }
}

bool Director::shows(const Turn& turn) const {
    const auto finding = view().record.finding;
    return finding.word == turn.word && finding.text.find(turn.says) != std::string::npos &&
           (turn.first.empty() || (finding.advice && finding.advice->first == turn.first));
}

awaitable<bool> Director::act(desk::ProcedureAct act, bool may_be_refused) {
    const auto done = co_await desk_.act(std::move(act));
    if (!done && !may_be_refused)
        fault("an act is refused: " + state::to_text(done.error().problem));
    co_return done.has_value();
}

desk::ProcedureAct Director::act_of(const Move& move) const {
    const std::string& id = played_.procedure;
    const std::string reason = "as rehearsed";
    const witness::StepAct upon{id, step().name, step().revision, engineer};
    switch (move.kind) {
    case Move::Kind::answer:
        return witness::StopAnswered{id, move.of, move.name, engineer, reason};
    case Move::Kind::at_chassis:
        return witness::ChassisNamed{id, move.name, engineer, technician};
    case Move::Kind::waive:
        return witness::DifferenceWaived{id, {move.component, move.name}, engineer, reason};
    case Move::Kind::back_out:
        return witness::BackOutBegun{id, engineer, reason};
    case Move::Kind::try_again:
        return witness::StepTriedAgain{upon};
    case Move::Kind::force:
        return witness::StepForced{upon, false, reason};
    case Move::Kind::skip:
        return witness::StepForced{upon, true, reason};
    case Move::Kind::close:
        return witness::ProcedureClosed{id, move.outcome, engineer, move.ticket, reason};
    }
    return witness::BackOutBegun{id, engineer, reason};
}

void Director::order(const std::vector<std::string>& orders) {
    for (const std::string& order : orders) {
        tell_("does: " + order);
        if (const auto done = obey_(order); !done)
            fault("\"" + order + "\": " + done.error());
    }
}

void Director::fault(std::string text) {
    played_.faults.push_back(std::move(text));
}

} // namespace slotwitness::rehearsal
