#include "people.hpp"

#include <boost/asio/co_spawn.hpp>

#include <utility>

namespace slotwitness::simulation {

namespace {

using boost::asio::awaitable;
using witness::Phase;
using witness::Stage;
using witness::Word;
using Kind = Act::Kind;

void rethrow(const std::exception_ptr& error) {
    if (error)
        std::rethrow_exception(error);
}

desk::SharedView<desk::ProcedureView> open_on(const desk::LiveDesk& desk,
                                              const std::string& chassis) {
    for (const auto& view : desk.procedures())
        if (view->chassis == chassis && view->record.finding.phase != Phase::closed)
            return view;
    return nullptr;
}

} // namespace

void People::take(const Act& act, desk::LiveDesk& desk) {
    const auto view = open_on(desk, chassis_name(act.chassis));
    witness::StepFinding step;
    if (view)
        if (const auto found = view->record.steps.find(view->record.finding.step);
            found != view->record.steps.end())
            step = found->second;
    const std::string id = view ? view->record.opened.id : "";
    const witness::StepAct upon{id, step.name, step.revision, "engineer"};
    switch (act.kind) {
    case Kind::open_gate:
        return open_gate(act, desk);
    case Kind::open_gate_again:
        return ask_again(act, desk);
    case Kind::close_gate:
        return close_gate(act, desk);
    case Kind::open_procedure:
        return open_procedure(act, desk);
    default:
        break;
    }
    if (!view)
        return;
    switch (act.kind) {
    case Kind::go_on_twice:
        go_on(act, desk, *view);
        [[fallthrough]];
    case Kind::go_on:
        go_on(act, desk, *view);
        saw_[act.chassis] = {upon, step.stage};
        return;
    case Kind::act_late: {
        const Saw& saw = saw_[act.chassis];
        if (saw.stage == Stage::fact)
            return send(desk, witness::StepReleased{saw.act});
        return send(desk, witness::StepConfirmed{saw.act, "technician"});
    }
    case Kind::back_out:
        return send(desk, witness::BackOutBegun{id, "engineer", "simulated"});
    case Kind::take_shift:
        return send(desk, witness::ShiftTaken{id, "another engineer"});
    case Kind::force:
        return send(desk, witness::StepForced{upon, act.twist, "simulated"});
    case Kind::close_procedure:
        return send(desk, witness::ProcedureClosed{id, witness::Closing::closed_degraded,
                                                   "engineer", "T-1", "simulated"});
    default: // not of people
        return;
    }
}

void People::open_gate(const Act& act, desk::LiveDesk& desk) {
    const Wish wish = wish_of(act);
    const auto gap = wish.gap > Time(0) ? std::optional(wish.gap) : std::nullopt;
    desk::GateWish asked{chassis_name(act.chassis),
                         wish.sentence,
                         gap,
                         wish.guard,
                         "engineer",
                         "key-" + std::to_string(wishes_.size() + 1)};
    wishes_.push_back(asked);
    if (act.twist) // a retry that overtakes the answer
        send(desk, asked);
    send(desk, std::move(asked));
}

void People::ask_again(const Act& act, desk::LiveDesk& desk) {
    if (!wishes_.empty())
        send(desk, wishes_[act.which % wishes_.size()]);
}

void People::close_gate(const Act& act, desk::LiveDesk& desk) {
    const auto gates = desk.gates();
    if (gates.empty())
        return;
    auto closing = desk.close_gate(gates[act.which % gates.size()]->finding.id, "engineer");
    boost::asio::co_spawn(loop_, std::move(closing),
                          [](const std::exception_ptr& error, auto) { rethrow(error); });
}

void People::open_procedure(const Act& act, desk::LiveDesk& desk) {
    desk::ProcedureWish wish;
    wish.chassis = chassis_name(act.chassis);
    wish.procedure = "reseat";
    wish.arguments = {
        {"module", "FAB3"},
        {"plane", "3"},
        {"tray", "TRAY2"},
        {"cooling-limit", std::to_string(8 + act.which % 10) + " s by the simulation"}};
    wish.by = "engineer";
    wish.idempotency_key = "procedure-" + std::to_string(++procedures_);
    auto opening = desk.open_procedure(std::move(wish));
    boost::asio::co_spawn(
        loop_, std::move(opening),
        [this, process = process_](const std::exception_ptr& error,
                                   tl::expected<desk::ProcedureView, desk::Refusal> opened) {
            rethrow(error);
            if (opened && process == process_)
                invariants_.procedure_opened(*opened);
        });
}

void People::stopped(const Act& act, desk::LiveDesk& desk, const desk::ProcedureView& view) {
    using Of = witness::StopAnswered::Of;
    const std::string& id = view.record.opened.id;
    if (act.which % 4 == 0)
        return send(desk, witness::BackOutBegun{id, "engineer", "simulated"});
    for (const auto& [name, rule] : view.record.rules)
        if (rule.lost)
            return send(desk, witness::StopAnswered{id, Of::rule, name, "engineer", "simulated"});
    for (const auto& [name, step] : view.record.steps)
        if (step.lost)
            return send(desk, witness::StopAnswered{id, Of::step, name, "engineer", "simulated"});
    const bool is_elsewhere = view.record.chassis && view.record.chassis->lost;
    send(desk, witness::StopAnswered{id, is_elsewhere ? Of::chassis : Of::cooling, "", "engineer",
                                     "simulated"});
}

void People::go_on(const Act& act, desk::LiveDesk& desk, const desk::ProcedureView& view) {
    const witness::ProcedureFinding& finding = view.record.finding;
    const std::string& id = view.record.opened.id;
    if (finding.word == Word::stop && !act.twist)
        return act.which % 3 == 0 ? stopped(act, desk, view) : void();
    if (finding.step.empty())
        return send(desk, witness::ProcedureClosed{id,
                                                   finding.phase == Phase::forward
                                                       ? witness::Closing::done
                                                       : witness::Closing::backed_out,
                                                   "engineer", "", ""});
    const witness::StepFinding& step = view.record.steps.at(finding.step);
    const witness::StepAct upon{id, step.name, step.revision, "engineer"};
    if (step.stage == Stage::released && (finding.word == Word::state_met || act.twist)) {
        worlds_[act.chassis]->work(step.name);
        return send(desk, witness::StepConfirmed{upon, "technician"});
    }
    if (step.undo_until && act.twist)
        return send(desk, witness::StepUnconfirmed{upon});
    if (finding.word == Word::call)
        return act.which % 5 == 0 ? send(desk, witness::BackOutBegun{id, "engineer", "simulated"})
                                  : send(desk, witness::StepTriedAgain{upon});
    if (step.stage != Stage::fact)
        return;
    if (!view.record.chassis)
        return read_serial(act, desk, id);
    send(desk, witness::StepReleased{upon});
}

/// The technician stands at another chassis now and then.
void People::read_serial(const Act& act, desk::LiveDesk& desk, const std::string& id) {
    constexpr std::size_t read = 4;
    const std::string& serial = worlds_[act.chassis]->serial();
    const bool is_elsewhere = act.twist && act.which % 4 == 0;
    send(desk,
         witness::ChassisNamed{id, is_elsewhere ? "9999" : serial.substr(serial.size() - read),
                               "technician", ""});
}

void People::send(desk::LiveDesk& desk, desk::GateWish wish) {
    const std::string chassis = wish.chassis;
    const std::string key = wish.idempotency_key;
    auto opening = desk.open_gate(std::move(wish));
    boost::asio::co_spawn(loop_, std::move(opening),
                          [this, chassis, key,
                           process = process_](const std::exception_ptr& error,
                                               tl::expected<desk::GateView, desk::Refusal> opened) {
                              rethrow(error);
                              if (opened && process == process_)
                                  invariants_.gate_opened(chassis, key, *opened);
                          });
}

void People::send(desk::LiveDesk& desk, desk::ProcedureAct act) {
    std::string released;
    if (const auto* release = std::get_if<witness::StepReleased>(&act))
        released = release->act.step;
    const std::string id = desk::procedure_of(act);
    auto acting = desk.act(std::move(act));
    boost::asio::co_spawn(loop_, std::move(acting),
                          [this, id, released, process = process_](
                              const std::exception_ptr& error,
                              tl::expected<desk::ProcedureView, desk::Refusal> acted) {
                              rethrow(error);
                              if (acted && process == process_ && !released.empty())
                                  invariants_.step_released(id, released);
                          });
}

} // namespace slotwitness::simulation
