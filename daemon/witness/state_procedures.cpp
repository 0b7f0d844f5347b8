#include "refusal.hpp"
#include "state.hpp"

#include <algorithm>
#include <utility>

// What the witness does for its procedures.
namespace slotwitness::witness {

void State::happen(Instant at, const ProcedureOpened& event) {
    if (auto problem = refusal(event)) {
        findings_.emplace_back(ProcedureRefused{event.id, std::move(*problem)});
        return;
    }
    names_.insert(event.id);
    if (!event.whole.empty()) // what the work is compared with
        happen(at, BaselineWanted{event.whole, event.by});
    const auto [course, opened] =
        courses_.try_emplace(event.id, event, *admit(event, {inventory_, listed_}), at);
    course->second.right_chassis().report(serial_);
}

std::optional<state::Problem> State::refusal(const ProcedureOpened& procedure) const {
    const auto problem = [](std::string found, std::string expected, std::string remedy) {
        return state::Problem{
            "procedure", {}, std::move(found), std::move(expected), std::move(remedy)};
    };
    if (names_.contains(procedure.id))
        return problem(procedure.id, "a name that nothing has yet", "Give it another id.");
    if (!courses_.empty())
        return problem("procedure " + courses_.begin()->first + " under way on this chassis",
                       "one procedure a chassis", "Close that one first.");
    if (auto admitted = admit(procedure, {inventory_, listed_}); !admitted)
        return std::move(admitted.error());
    return std::nullopt;
}

std::vector<UnrecordedLoss> State::lost() const {
    std::vector<UnrecordedLoss> lost;
    for (const auto& [id, course] : courses_)
        for (UnrecordedLoss& loss : course.lost())
            lost.push_back(std::move(loss));
    return lost;
}

template <class Act>
void State::act(Instant at, const std::string& procedure, const Act& event) {
    const auto course = courses_.find(procedure);
    auto problem = course == courses_.end() ? state::Problem{"procedure",
                                                             {},
                                                             procedure,
                                                             "a procedure under way here",
                                                             "Look at which one is open."}
                                            : course->second.happen(at, event);
    if (problem)
        findings_.emplace_back(ProcedureRefused{procedure, std::move(*problem)});
}

void State::happen(Instant at, const StepReleased& event) {
    // What is kept once a hand was laid on the chassis is no baseline of the work.
    const auto course = courses_.find(event.act.procedure);
    if (course != courses_.end() && !course->second.opening().whole.empty() && baseline_wish_) {
        findings_.emplace_back(ProcedureRefused{
            event.act.procedure,
            {"procedure",
             {},
             "no baseline yet",
             "the state before the work, kept",
             "Wait for a whole answer to every query, or force the step with your name and the "
             "reason."}});
        return;
    }
    act(at, event.act.procedure, event);
}
void State::happen(Instant at, const StepConfirmed& event) {
    act(at, event.act.procedure, event);
}
void State::happen(Instant at, const StepUnconfirmed& event) {
    act(at, event.act.procedure, event);
}
void State::happen(Instant at, const StepTriedAgain& event) {
    act(at, event.act.procedure, event);
}
void State::happen(Instant at, const StepForced& event) {
    act(at, event.act.procedure, event);
}
void State::happen(Instant at, const StopAnswered& event) {
    act(at, event.procedure, event);
}
void State::happen(Instant at, const DifferenceWaived& event) {
    act(at, event.procedure, event);
}
void State::happen(Instant at, const BackOutBegun& event) {
    act(at, event.procedure, event);
}
void State::happen(Instant at, const ShiftTaken& event) {
    act(at, event.procedure, event);
}
void State::happen(Instant at, const ForecastMade& event) {
    act(at, event.procedure, event);
}
void State::happen(Instant at, const ProcedureClosed& event) {
    act(at, event.procedure, event);
}

void State::happen(Instant at, const ChassisNamed& event) {
    act(at, event.procedure, event);
}

/// Only a whole answer tells which chassis this is, and only if it tells of one alone.
void State::learn_serial(const Answered& answer) {
    const auto& rows = answer.reading->rows;
    if (!answer.ending.whole() || !answer.reading->whole ||
        std::none_of(rows.begin(), rows.end(),
                     [](const auto& row) { return row.kind == state::Kind::chassis; }))
        return;
    const View view({heard_from(answer)}, {});
    const auto names = view.listed(state::Kind::chassis);
    serial_.reset();
    if (names.size() == 1) {
        const Told told = view.fact({state::Kind::chassis, *names.begin()},
                                    state::Attribute::serial, Trust::whole_answers);
        const auto* text = told.value ? std::get_if<std::string>(&*told.value) : nullptr;
        if (text)
            serial_ = *text;
    }
    for (auto& [id, course] : courses_)
        course.right_chassis().report(serial_);
}

namespace {

bool asks(const SentencePlan& plan, const std::string& asking) {
    return std::find(plan.askings.begin(), plan.askings.end(), asking) != plan.askings.end();
}

} // namespace

/// Rules are judged on each answer, since what refutes one need not wait for the round.
void State::judge_rules(const Round& round, const std::string& asking, bool confirms) {
    for (auto& [id, course] : courses_)
        for (Rule& rule : course.rules()) {
            const SentencePlan& plan = rule.plan().holds;
            if (!rule.since() || !asks(plan, asking))
                continue;
            auto gathered = gather(round, plan.askings, *rule.since());
            if (!gathered)
                continue;
            // What is overdue for a gate is too old to confirm a rule.
            const bool in_time = gathered->look.answered <= round.started + plan.gap;
            const bool complete = gathered->missing.empty();
            for (std::string& key : gathered->missing)
                gathered->silent.push_back(
                    {std::move(key), NoAnswer::timed_out, "It was not answered yet."});
            const View view(std::move(gathered->heard), std::move(gathered->silent));
            rule.look(gathered->look, confirms && complete && in_time, grounds(view));
        }
}

/// The cooling clock is judged on each look that is complete.
void State::judge_cooling(const std::string& asking) {
    for (auto& [id, course] : courses_) {
        auto& cooling = course.cooling();
        if (!cooling || !asks(cooling->plan().back, asking))
            continue;
        auto gathered = gather(*round_, cooling->plan().back.askings, course.finding().opened);
        if (!gathered || !gathered->missing.empty())
            continue;
        const View view(std::move(gathered->heard), std::move(gathered->silent));
        const auto truth = [&](sentences::Trade is) {
            const sentences::Condition condition{
                sentences::OneIs{{state::Kind::fan_tray, cooling->plan().tray}, is}};
            return evaluate(condition, grounds(view)).judgement.truth;
        };
        cooling->look(gathered->look, truth(sentences::Trade::present),
                      truth(sentences::Trade::operational));
    }
}

/// What a round did not ask, or not since the procedure was opened, was not answered.
void State::compare_whole() {
    for (auto& [id, course] : courses_) {
        auto gathered = gather(*round_, course.opening().whole, course.finding().opened);
        if (!gathered || !gathered->missing.empty())
            continue;
        course.look_at_whole(gathered->look,
                             View(std::move(gathered->heard), std::move(gathered->silent)));
    }
}

void State::settle(Instant now) {
    for (auto& [id, course] : courses_) {
        for (auto orders = course.advance(now); !orders.empty(); orders = course.advance(now))
            for (const Order& order : orders)
                obey(now, course, order);
        for (Finding& finding : course.news())
            findings_.push_back(std::move(finding));
    }
}

void State::obey(Instant at, Course& course, const Order& order) {
    if (const auto* ended = std::get_if<GuardEnded>(&order)) {
        if (const auto gate = gates_.find(ended->gate); gate != gates_.end())
            change(gate->second,
                   [&](Gate& each) { each.close(at, "procedure " + course.opening().id); });
        return;
    }
    const auto& opened = std::get<GateOpened>(order);
    if (auto problem = refusal(opened)) {
        course.could_not_open(opened.id, *problem);
        return;
    }
    open(at, opened, std::move(*admitted(opened)));
    course.saw(gates_.at(opened.id).finding());
}

} // namespace slotwitness::witness
