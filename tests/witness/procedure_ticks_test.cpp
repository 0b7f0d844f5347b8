#include "job.hpp"

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <algorithm>
#include <iterator>
#include <map>
#include <optional>

namespace slotwitness::witness::test {
namespace {

int any_below(int below) {
    return *rc::gen::inRange(0, below);
}

/// The newest of each part, as people see it.
struct Seen {
    std::optional<ProcedureFinding> procedure;
    std::map<std::string, StepFinding> steps;
    std::map<std::string, RuleFinding> rules;
    std::map<std::string, GateFinding> gates;
    std::optional<CoolingFinding> cooling;

    void take(const Finding& finding) {
        if (const auto* told = std::get_if<ProcedureFinding>(&finding))
            procedure = *told;
        if (const auto* step = std::get_if<StepFinding>(&finding))
            steps[step->name] = *step;
        if (const auto* rule = std::get_if<RuleFinding>(&finding))
            rules[rule->name] = *rule;
        if (const auto* gate = std::get_if<GateFinding>(&finding))
            gates[gate->id] = *gate;
        if (const auto* clock = std::get_if<CoolingFinding>(&finding))
            cooling = *clock;
    }
    [[nodiscard]] bool is_open() const { return procedure && procedure->phase != Phase::closed; }
    [[nodiscard]] const StepFinding* step() const {
        const auto found = steps.find(procedure ? procedure->step : "");
        return found == steps.end() ? nullptr : &found->second;
    }
};

/// A random life of a chassis with the small procedure: rounds that are answered, cut, unknown,
/// failed, late, superseded or never answered, restarts, and people who do this and that, mostly
/// what gets on. Times are coarse, so that many instants coincide.
class Life {
  public:
    Life() {
        run_.inventory = {{Kind::plane, {"1", "2", "3"}}, {Kind::fan_tray, {"A", "B"}}};
        add(run_);
        ProcedureOpened opening = small_job();
        opening.steps[0].fact.gap = ms(2'000 + span(9));
        opening.rules[0].holds.gap = ms(2'000 + span(9));
        opening.steps[1].takes = ms(5'000);
        opening.cooling->out = any_below(2) == 0 ? "pull" : "shut";
        opening.cooling->limit = ms(3'000 + span(40));
        add(opening);
        const int rounds = any_below(40);
        for (RoundNumber round = 1; round <= static_cast<RoundNumber>(rounds); ++round)
            live(round);
        t_ += 60'000;
        add(Tick{});
    }
    std::vector<Event> events;

  private:
    static std::int64_t span(int below) { return std::int64_t{500} * any_below(below); }

    template <class What>
    void add(What what) {
        events.push_back({at(t_), std::move(what)});
        for (const Finding& finding : witness_.step(events.back()).findings)
            seen_.take(finding);
    }

    void live(RoundNumber round) {
        t_ += span(any_below(10) == 0 ? 16 : 4);
        if (any_below(25) == 0) {
            run_.elapsed_known = any_below(2) == 0;
            add(run_);
        }
        act();
        add(RoundStarted{round, {"planes", "trays"}});
        for (const char* asking : {"planes", "trays"}) {
            if (any_below(25) == 0)
                continue; // never answered
            const Instant asked = at(t_);
            t_ += span(any_below(20) == 0 ? 20 : 2);
            act();
            if (any_below(15) == 0)
                add(Failed{round, asking, asked, NoAnswer::timed_out, ""});
            else
                answer(round, asking, asked);
        }
        act();
    }

    void answer(RoundNumber round, const std::string& asking, Instant asked) {
        const StepFinding* step = seen_.step();
        const bool shut = step && (step->name != "shut" || step->stage == Stage::confirmed) &&
                          (step->name != "raise" || step->stage != Stage::confirmed) &&
                          (step->name != "raise-again" || step->stage != Stage::confirmed);
        const bool out = step && ((step->name == "pull" && step->stage == Stage::confirmed) ||
                                  (step->name == "seat" && step->stage != Stage::confirmed));
        const auto perhaps = [](char one) {
            return any_below(10) == 0 ? "ud?s "[any_below(5)] : one;
        };
        Sheet sheet = asking == "planes" ? planes({{"1", any_below(25) == 0 ? 'd' : 'u'},
                                                   {"2", 'u'},
                                                   {"3", perhaps(shut ? 's' : 'u')}})
                                         : Sheet({Kind::fan_tray});
        if (asking == "trays") {
            const auto tray = [&](const char* name, char is) {
                if (is != ' ')
                    sheet.row(Kind::fan_tray, name,
                              facts(state::AdminState::unlocked,
                                    is == 'u'   ? state::OperState::enabled
                                    : is == '?' ? state::OperState::unknown
                                                : state::OperState::disabled));
            };
            tray("A", perhaps(out ? ' ' : 'u'));
            tray("B", any_below(25) == 0 ? 'd' : 'u');
        }
        if (any_below(20) == 0)
            sheet.cut();
        if (any_below(20) == 0)
            sheet.unread("3 A odd");
        const auto reading = std::make_shared<const state::Reading>(sheet.reading());
        add(Answered{round, asking, asked, "c", {true, reading->whole ? 0 : 1, ""}, reading});
    }

    /// Whoever acts upon a step saw it as it is, or as it was not long ago.
    [[nodiscard]] StepAct upon(const std::string& step) const {
        const auto found = seen_.steps.find(step);
        const std::uint64_t revision = found == seen_.steps.end() ? 1 : found->second.revision;
        return {"job", step, revision - (any_below(12) == 0 ? 1 : 0), "Ada"};
    }

    void act() {
        if (any_below(3) == 0)
            return;
        for (const auto& [name, rule] : seen_.rules)
            if (rule.lost && any_below(2) == 0)
                add(StopAnswered{"job", StopAnswered::Of::rule, name, "Ada", "known"});
        for (const auto& [name, step] : std::map(seen_.steps))
            if (step.lost && any_below(2) == 0)
                add(StopAnswered{"job", StopAnswered::Of::step, name, "Ada", "known"});
        if (seen_.cooling && seen_.cooling->passed && any_below(2) == 0)
            add(StopAnswered{"job", StopAnswered::Of::cooling, "", "Ada", "known"});
        const StepFinding* step = seen_.step();
        if (!step) {
            if (any_below(4) == 0)
                add(ProcedureClosed{"job",
                                    seen_.is_open() && seen_.procedure->phase == Phase::backing_out
                                        ? Closing::backed_out
                                        : Closing::done,
                                    "Ada", "", ""});
            return;
        }
        const std::string name = step->name;
        switch (any_below(40)) {
        case 0:
            return add(StepForced{upon(name), false, "in a hurry"});
        case 1:
            return add(StepForced{upon(name), true, "not needed"});
        case 2:
            return add(BackOutBegun{"job", "Ada", "no spare"});
        case 3:
            return add(ForecastMade{"job", "inlet", at(t_ + span(40)), "inlet warms"});
        case 4:
            return add(ShiftTaken{"job", "Grace"});
        case 5:
            return add(StepTriedAgain{upon(name)});
        case 6:
            return any_below(3) == 0
                       ? add(ProcedureClosed{"job", Closing::closed_degraded, "Ada", "T-7", "late"})
                       : add(GateClosed{step->fact, "somebody"});
        case 7:
            return add(StepConfirmed{upon("seat"), "Bob"});
        default:
            if (step->stage == Stage::released)
                return add(StepConfirmed{upon(name), ""});
            if (step->stage == Stage::fact)
                return add(StepReleased{upon(name)});
        }
    }

    RunStarted run_;
    Witness witness_;
    Seen seen_;
    std::int64_t t_ = 0;
};

/// Steps through a life. With `obey`, a tick comes at each instant asked for, as the daemon sends
/// it.
std::vector<Finding> findings_of_life(const std::vector<Event>& life, bool obey) {
    Witness witness;
    std::vector<Finding> found;
    std::optional<Instant> due;
    const auto tell = [&](const Event& event) {
        Outcome outcome = witness.step(event);
        found.insert(found.end(), outcome.findings.begin(), outcome.findings.end());
        RC_ASSERT(!outcome.next_due || *outcome.next_due > event.at);
        due = outcome.next_due;
    };
    for (const Event& event : life) {
        while (obey && due && *due < event.at)
            tell({*due, Tick{}});
        tell(event);
    }
    return found;
}

template <class Value>
bool is_same(const Value& left, const Value& right) {
    if constexpr (std::is_same_v<Value, ProcedureRefused>)
        return left.procedure == right.procedure &&
               state::to_text(left.problem) == state::to_text(right.problem);
    else if constexpr (std::is_same_v<Value, GateRefused>)
        return left.id == right.id && state::to_text(left.problem) == state::to_text(right.problem);
    else
        return left == right;
}

void all_same(const std::vector<Finding>& left, const std::vector<Finding>& right) {
    RC_ASSERT(left.size() == right.size());
    for (std::size_t i = 0; i < left.size(); ++i)
        RC_ASSERT(std::visit(
            [&]<class Value>(const Value& value) {
                const Value* other = std::get_if<Value>(&right[i]);
                return other && is_same(value, *other);
            },
            left[i]));
}

void hold(bool held) {
    EXPECT_TRUE(held);
}

TEST(procedure_ticks, that_come_when_asked_for_or_not_at_all_change_no_finding) {
    hold(rc::check([] {
        const Life life;
        all_same(findings_of_life(life.events, true), findings_of_life(life.events, false));
    }));
}

TEST(procedure_ticks, that_nobody_asked_for_change_no_finding) {
    hold(rc::check([] {
        const Life life;
        auto ticked = life.events;
        const int more = any_below(30) + 1;
        for (int i = 0; i < more; ++i) {
            const Instant instant = at(std::int64_t{250} * any_below(400));
            const auto place =
                std::upper_bound(ticked.begin(), ticked.end(), instant,
                                 [](Instant t, const Event& event) { return t < event.at; });
            ticked.insert(place, {instant, Tick{}});
        }
        std::erase_if(ticked, [&](const Event& event) { return event.at > life.events.back().at; });
        all_same(findings_of_life(ticked, false), findings_of_life(life.events, false));
    }));
}

TEST(procedure_in_a_life,
     shows_state_met_only_upon_what_is_met_and_released_and_while_that_is_fresh) {
    std::size_t shown = 0;
    hold(rc::check([&shown] {
        const Life life;
        Witness witness;
        Seen seen;
        for (const Event& event : life.events) {
            for (const Finding& finding : witness.step(event).findings)
                seen.take(finding);
            if (!seen.is_open() || seen.procedure->word != Word::state_met)
                continue;
            ++shown;
            RC_ASSERT(seen.procedure->valid_until.has_value());
            RC_ASSERT(event.at <= *seen.procedure->valid_until);
            const StepFinding* step = seen.step();
            RC_ASSERT(step != nullptr);
            RC_ASSERT(step->stage == Stage::released);
            RC_ASSERT(step->released.has_value());
            RC_ASSERT(step->forced_by.empty());
            const GateFinding& fact = seen.gates.at(step->fact);
            RC_ASSERT(fact.verdict == Verdict::pass);
            RC_ASSERT(fact.standing == Standing::met);
            RC_ASSERT(*seen.procedure->valid_until <= fact.valid_until);
            for (const auto& [name, each] : seen.steps) {
                RC_ASSERT(!each.lost);
                RC_ASSERT(!each.accepted);
            }
            for (const auto& [name, rule] : seen.rules) {
                RC_ASSERT(!rule.lost);
                if (rule.active) {
                    RC_ASSERT(rule.truth == Truth::yes);
                    RC_ASSERT(*seen.procedure->valid_until <= *rule.valid_until);
                }
            }
            RC_ASSERT(!seen.cooling || !seen.cooling->passed);
        }
    }));
    EXPECT_GT(shown, 100U) << "lives in which nothing is ever met prove nothing";
}

} // namespace
} // namespace slotwitness::witness::test
