#include "procedure_generator.hpp"

#include "chance.hpp"
#include "story.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::oracle {

namespace {

constexpr int our_serial = 1017, another_serial = 1018;

void collect_needs(const Condition& condition, std::set<Asking>& needs) {
    if (condition.shape == Condition::Shape::fact)
        needs.insert(condition.asking);
    for (const Condition& part : condition.parts)
        collect_needs(part, needs);
}

using Wishes = std::map<Asking, bool>;

/// What the device should report so that the condition has this truth; earlier wishes win.
void wish(const Condition& condition, bool truth, Wishes& wishes) {
    if (condition.shape == Condition::Shape::fact)
        wishes.emplace(condition.asking, truth);
    for (const Condition& part : condition.parts)
        wish(part, truth != (condition.shape == Condition::Shape::negation), wishes);
}

/// Makes up a procedure.
class Planner {
  public:
    explicit Planner(Chance& chance) : chance_(chance) {}

    Procedure make() {
        Procedure made;
        made.works = tray_works;
        made.out = tray_out;
        const bool cools = chance_.in_a_hundred(60);
        askings_ = {planes};
        if (chance_.in_a_hundred(45))
            askings_.push_back(modules);
        if (cools || chance_.in_a_hundred(25)) {
            askings_.push_back(tray_works);
            askings_.push_back(tray_out);
        }
        const auto steps = static_cast<std::size_t>(chance_.between(1, 4));
        for (std::size_t n = 0; n < steps; ++n) {
            made.steps.push_back(step());
            if (n + 1 < steps && chance_.in_a_hundred(40))
                made.steps[n].until = static_cast<std::size_t>(
                    chance_.between(static_cast<Time>(n) + 1, static_cast<Time>(steps) - 1));
        }
        for (Time more = chance_.up_to(2); more > 0; --more) {
            made.back_out.push_back(step());
            made.back_out.back().undoes = pick(steps);
        }
        for (Time more = chance_.up_to(2); more > 0; --more) {
            Rule& rule = made.rules.emplace_back();
            rule.holds = gate();
            rule.holds.hold = 0;
            rule.holds.within.reset();
            if (chance_.in_a_hundred(40))
                rule.from = pick(steps);
            if (chance_.in_a_hundred(50))
                rule.until = rule.from.value_or(0) + pick(steps - rule.from.value_or(0));
        }
        if (cools) {
            Cooling& cooling = made.cooling.emplace();
            cooling.refresh = refresh();
            cooling.begins = pick(steps);
            cooling.ends = cooling.begins + pick(steps - cooling.begins);
            if (chance_.in_a_hundred(70))
                cooling.out = pick(cooling.ends + 1);
            cooling.limit = chance_.between(8, 40);
        }
        made.right_chassis = chance_.in_a_hundred(60);
        if (chance_.in_a_hundred(40))
            made.undo = chance_.between(1, 9);
        return made;
    }

  private:
    std::size_t pick(std::size_t below) {
        return static_cast<std::size_t>(chance_.up_to(static_cast<Time>(below) - 1));
    }
    Time refresh() { return chance_.in_a_hundred(65) ? 0 : chance_.between(1, 3); }

    Condition leaf() {
        Condition one = fact(askings_[pick(askings_.size())]);
        return chance_.in_a_hundred(30) ? negation(std::move(one)) : one;
    }

    Gate gate() {
        Gate made;
        const Time kind = chance_.up_to(9);
        made.condition = kind < 7    ? leaf()
                         : kind == 7 ? disjunction(leaf(), leaf())
                                     : conjunction(leaf(), leaf());
        std::set<Asking> needs;
        collect_needs(made.condition, needs);
        made.needs.assign(needs.begin(), needs.end());
        made.gap = chance_.between(5, 14);
        made.refresh = refresh();
        made.hold = chance_.in_a_hundred(75) ? 0 : chance_.between(1, 4);
        if (chance_.in_a_hundred(75))
            made.within = made.hold + made.refresh + chance_.between(4, 40);
        return made;
    }

    Step step() {
        Step made;
        made.fact = gate();
        made.technician = chance_.in_a_hundred(60);
        if (chance_.in_a_hundred(75))
            made.effect = gate();
        // The tray's coming and going is what tells where somebody stands.
        if (made.effect && made.technician && askings_.size() > 2 && chance_.in_a_hundred(60)) {
            made.effect->condition = fact(tray_out);
            made.effect->needs = {tray_out};
        }
        if (chance_.in_a_hundred(80))
            made.takes = chance_.between(0, 9);
        return made;
    }

    Chance& chance_;
    std::vector<Asking> askings_;
};

/// Lets it happen, one thing after the other, with the oracle at hand to know where the work
/// stands.
class CourseMaker {
  public:
    explicit CourseMaker(std::uint64_t seed)
        : chance_(seed), course_{Planner(chance_).make(), {}}, judge_(course_.procedure) {
        const auto add = [&](const Gate& gate) {
            for (const Asking asking : gate.needs)
                asked_for_.insert(asking == tray_out ? tray_works : asking);
        };
        for (const auto* steps : {&course_.procedure.steps, &course_.procedure.back_out})
            for (const Step& step : *steps) {
                add(step.fact);
                if (step.effect)
                    add(*step.effect);
            }
        for (const Rule& rule : course_.procedure.rules)
            add(rule.holds);
        if (course_.procedure.cooling)
            asked_for_.insert(tray_works);
        obliging_ = static_cast<int>(chance_.between(60, 95));
        answering_ = static_cast<int>(chance_.between(80, 99));
        sensible_ = static_cast<int>(chance_.between(70, 97));
        busy_ = static_cast<int>(chance_.between(15, 45));
        tells_flaps_ = chance_.in_a_hundred(30);
        tells_serial_ = chance_.in_a_hundred(80);
    }

    std::pair<Course, std::vector<Told>> make() {
        run_start(true);
        now_ += chance_.up_to(3);
        if (chance_.in_a_hundred(8))
            act(anything());
        // Also in the midst of a round.
        for (Time more = chance_.in_a_hundred(25) ? chance_.up_to(8) : 0; more > 0; --more)
            go_on();
        Happened opening = deed(Deed::opened);
        opening.who = 1;
        act(opening);
        const Time horizon = chance_.between(30, 130);
        Time rest = 4; // of events after the procedure is closed
        while (now_ < horizon && course_.happened.size() < 110 && rest > 0) {
            if (judge_.told().phase == Phase::closed)
                --rest;
            go_on();
        }
        return {std::move(course_), std::move(told_)};
    }

  private:
    void add(const Happened& happened) {
        course_.happened.push_back(happened);
        judge_.happen(happened);
        told_.push_back(judge_.told());
    }
    Happened deed(Deed what) {
        Happened made;
        made.deed = what;
        made.event.at = now_;
        return made;
    }
    void act(Happened happened) {
        happened.event.at = now_;
        add(happened);
    }
    Happened device(Happening what) {
        Happened made;
        made.event.what = what;
        made.event.at = now_;
        made.event.round = round_;
        return made;
    }

    void run_start(bool elapsed_known) {
        Happened made = device(Happening::run_started);
        made.event.elapsed_known = elapsed_known;
        waiting_.clear();
        lose_some(made);
        add(made);
    }

    /// Of what stops the work if it is lost, some was lost unrecorded before the start.
    void lose_some(Happened& start) {
        if (told_.empty() || !judge_.told().open || judge_.told().phase == Phase::closed ||
            !chance_.in_a_hundred(40))
            return;
        const Told& told = judge_.told();
        for (std::size_t n = 0; n < told.rules.size(); ++n)
            if (told.rules[n].active && chance_.in_a_hundred(40))
                start.lost_rules.push_back(n);
        for (std::size_t n = 0; n < told.steps.size(); ++n)
            if (course_.procedure.steps[n].until && told.steps[n].released &&
                told.steps[n].stage != Stage::waiting && chance_.in_a_hundred(40))
                start.lost_steps.push_back({false, n});
    }

    void start_round() {
        now_ += chance_.in_a_hundred(6) ? chance_.up_to(14) : chance_.up_to(3);
        aside();
        ++round_;
        waiting_.assign(asked_for_.begin(), asked_for_.end());
        // Now and then a round for other purposes, without all that is needed.
        if (chance_.in_a_hundred(4))
            waiting_ = {chance_.in_a_hundred(50) ? ports : waiting_.front()};
        Happened made = device(Happening::round_started);
        made.event.askings = waiting_;
        asked_ = now_;
        add(made);
    }

    void end_query() {
        const auto which =
            static_cast<std::size_t>(chance_.up_to(static_cast<Time>(waiting_.size()) - 1));
        const Asking asking = waiting_[which];
        now_ += chance_.in_a_hundred(3) ? chance_.up_to(14) : chance_.up_to(1);
        aside();
        if (waiting_.empty())
            return; // a restart came in between
        waiting_.erase(waiting_.begin() + static_cast<long>(which));
        Happened made =
            device(chance_.in_a_hundred(answering_) ? Happening::answered : Happening::failed);
        made.event.asking = asking;
        made.event.asked = chance_.in_a_hundred(50) ? asked_ : chance_.between(asked_, now_);
        if (made.event.what == Happening::answered)
            tell(made);
        add(made);
        // Late answers of a round that is over are not looked at.
        if (chance_.in_a_hundred(2)) {
            made.event.round = round_ - 1;
            if (made.event.round > 0)
                add(made);
        }
    }

    /// What the step under way waits for, and what the rules want.
    Wishes wishes() const {
        Wishes wishes;
        const Told& told = judge_.told();
        const auto& steps = course_.procedure;
        if (told.step) {
            const StepAt at = *told.step;
            const Step& step = (at.back ? steps.back_out : steps.steps)[at.number];
            const Stage stage = told_of(told, at).stage;
            if (stage == Stage::confirmed && step.effect)
                wish(step.effect->condition, true, wishes);
            else
                wish(step.fact.condition, true, wishes);
            for (std::size_t n = 0; n < steps.steps.size() && !at.back; ++n)
                if (told.steps[n].released && steps.steps[n].until)
                    wish(steps.steps[n].fact.condition, true, wishes);
        } else {
            wishes.emplace(tray_works, true);
        }
        for (std::size_t n = 0; n < told.rules.size(); ++n)
            if (told.rules[n].active)
                wish(steps.rules[n].holds.condition, true, wishes);
        return wishes;
    }
    static const StepTold& told_of(const Told& told, StepAt at) {
        return (at.back ? told.back_out : told.steps)[at.number];
    }

    void tell(Happened& made) {
        const Wishes wanted = wishes();
        const auto want = [&](Asking asking, bool otherwise) {
            const auto found = wanted.find(asking);
            if (found == wanted.end() || !chance_.in_a_hundred(obliging_))
                return otherwise;
            return found->second;
        };
        Event& event = made.event;
        event.whole = !chance_.in_a_hundred(4);
        bool& state = states_[event.asking];
        const bool before = state;
        if (event.asking != tray_works) {
            state = want(event.asking, chance_.in_a_hundred(12) ? !state : state);
            event.fact = chance_.in_a_hundred(4) ? Truth::unknown : state ? Truth::yes : Truth::no;
            flaps_ += state != before ? 1 : chance_.in_a_hundred(3) ? 2 : 0;
            if (tells_flaps_ && event.asking == planes && event.whole &&
                event.fact != Truth::unknown)
                event.flaps = flaps_;
            if (tells_serial_ && event.asking == planes && !chance_.in_a_hundred(5))
                event.serial = chance_.in_a_hundred(93)   ? our_serial
                               : chance_.in_a_hundred(50) ? another_serial
                                                          : 0;
            return;
        }
        bool& out = states_[tray_out];
        out = want(tray_out, chance_.in_a_hundred(12) ? !out : out);
        state = want(tray_works, chance_.in_a_hundred(12) ? !state : state);
        if (state && out)
            out = wanted.contains(tray_out) && wanted.at(tray_out);
        state = state && !out;
        // Of a tray that is not there nothing is known but that.
        event.fact = out ? Truth::unknown : state ? Truth::yes : Truth::no;
        made.out = out ? Truth::yes : Truth::no;
        if (chance_.in_a_hundred(4)) {
            event.fact = Truth::unknown;
            made.out = chance_.in_a_hundred(50) ? Truth::no : Truth::unknown;
        }
        if (!event.whole && made.out == Truth::yes) // it may be listed below
            event.fact = made.out = Truth::unknown;
    }

    Deed closing() {
        if (chance_.in_a_hundred(8))
            return Deed::closed_degraded;
        return judge_.told().phase == Phase::backing_out ? Deed::closed_backed_out
                                                         : Deed::closed_done;
    }

    StepAt some_step() {
        const auto& back = course_.procedure.back_out;
        const bool is_back = !back.empty() && chance_.in_a_hundred(30);
        const std::size_t count = is_back ? back.size() : course_.procedure.steps.size();
        return {is_back, static_cast<std::size_t>(chance_.up_to(static_cast<Time>(count) - 1))};
    }

    Happened anything() {
        Happened made =
            deed(static_cast<Deed>(chance_.between(1, static_cast<Time>(Deed::gate_closed))));
        // What ends the work is rare, or little else would be seen.
        if (made.deed == Deed::closed_degraded || made.deed == Deed::back_out)
            made.deed = chance_.in_a_hundred(15) ? made.deed : Deed::released;
        made.step =
            judge_.told().step && chance_.in_a_hundred(60) ? *judge_.told().step : some_step();
        made.effect = chance_.in_a_hundred(50);
        made.rule = static_cast<std::size_t>(chance_.up_to(1));
        made.ago = static_cast<std::size_t>(chance_.between(1, 6));
        made.complete = chance_.in_a_hundred(85);
        made.forecast = now_ + chance_.up_to(30);
        made.who = static_cast<int>(chance_.between(1, 9));
        made.serial = some_serial();
        made.read_back = static_cast<Happened::ReadBack>(chance_.up_to(2));
        return made;
    }

    int some_serial() {
        return chance_.in_a_hundred(70)   ? our_serial
               : chance_.in_a_hundred(70) ? another_serial
                                          : 17;
    }

    /// What is done about where the technician stands; nothing if it is known, or nobody asks.
    std::optional<Happened> about_chassis() {
        const Told& told = judge_.told();
        const auto& steps = course_.procedure;
        Happened made;
        if (told.chassis.lost && chance_.in_a_hundred(60)) {
            made.deed = chance_.in_a_hundred(70) ? Deed::chassis_answered : Deed::chassis_named;
            made.serial = our_serial;
            return made;
        }
        if (!steps.right_chassis || !told.step || told.chassis.same == Truth::yes ||
            told.chassis.accepted || told_of(told, *told.step).stage != Stage::fact)
            return std::nullopt;
        const auto& [back, number] = *told.step;
        if (!(back ? steps.back_out : steps.steps)[number].technician || chance_.in_a_hundred(20))
            return std::nullopt;
        made.deed = told.chassis.read && chance_.in_a_hundred(60) ? Deed::chassis_answered
                                                                  : Deed::chassis_named;
        made.serial = some_serial();
        return made;
    }

    /// What somebody does who looks at the page and goes on.
    std::optional<Happened> sensible() {
        const Told& told = judge_.told();
        const Procedure& steps = course_.procedure;
        Happened made;
        for (std::size_t n = 0; n < told.rules.size(); ++n)
            if (told.rules[n].lost && chance_.in_a_hundred(60)) {
                made.deed = Deed::rule_answered;
                made.rule = n;
                return made;
            }
        for (std::size_t n = 0; n < told.steps.size(); ++n)
            if (told.steps[n].lost && chance_.in_a_hundred(60)) {
                made.deed = Deed::step_answered;
                made.step = {false, n};
                return made;
            }
        if (told.cooling.passed && chance_.in_a_hundred(60)) {
            made.deed = Deed::clock_answered;
            return made;
        }
        if (auto about = about_chassis())
            return about;
        if (told.cooling.began && !told.cooling.ended && chance_.in_a_hundred(10)) {
            made.deed = Deed::forecast;
            made.forecast = now_ + chance_.up_to(30);
            return made;
        }
        if (!told.step) {
            made.deed = closing();
            return chance_.in_a_hundred(30) ? std::optional(made) : std::nullopt;
        }
        made.step = *told.step;
        if (told.phase == Phase::forward && chance_.in_a_hundred(2)) {
            made.deed = Deed::back_out;
            return made;
        }
        const Stage stage = told_of(told, made.step).stage;
        if (stage == Stage::released) {
            made.deed = Deed::confirmed;
            made.read_back = chance_.in_a_hundred(5)    ? Happened::ReadBack::wrong
                             : chance_.in_a_hundred(60) ? Happened::ReadBack::right
                                                        : Happened::ReadBack::nothing;
            return chance_.in_a_hundred(50) ? std::optional(made) : std::nullopt;
        }
        if (stage == Stage::confirmed && steps.undo > 0 && chance_.in_a_hundred(10)) {
            made.deed = Deed::unconfirmed;
            return made;
        }
        const auto gate = stage == Stage::confirmed ? told_of(told, made.step).effect
                                                    : told_of(told, made.step).fact;
        if (!gate || gate == Verdict::fail) {
            made.deed = chance_.in_a_hundred(65)   ? Deed::tried_again
                        : chance_.in_a_hundred(50) ? Deed::forced
                                                   : Deed::skipped;
            return made;
        }
        if (stage == Stage::fact && gate == Verdict::pass) {
            made.deed = Deed::released;
            return made;
        }
        if (chance_.in_a_hundred(4)) {
            made.deed = chance_.in_a_hundred(50) ? Deed::forced : Deed::skipped;
            return made;
        }
        return std::nullopt;
    }

    /// What may happen besides looks, at any instant and in any order.
    void aside() {
        if (chance_.in_a_hundred(4))
            add(device(Happening::tick));
        if (chance_.in_a_hundred(busy_)) {
            if (!chance_.in_a_hundred(sensible_))
                act(anything());
            else if (const auto made = sensible())
                act(*made);
        }
        if (chance_.in_a_thousand(8)) {
            if (chance_.in_a_hundred(30))
                now_ += chance_.up_to(9);
            run_start(!chance_.in_a_hundred(25));
        }
    }

    void go_on() {
        // Now and then the next round begins before this one was answered.
        if (waiting_.empty() || chance_.in_a_hundred(3))
            start_round();
        else
            end_query();
        aside();
    }

    Chance chance_;
    Course course_;
    Judge judge_;
    std::vector<Told> told_;
    std::set<Asking> asked_for_;
    std::vector<Asking> waiting_;
    std::map<Asking, bool> states_{{tray_works, true}};
    Time now_ = 0, asked_ = 0;
    int round_ = 0, flaps_ = 0;
    int obliging_ = 0, answering_ = 0, sensible_ = 0, busy_ = 0;
    bool tells_flaps_ = false, tells_serial_ = false;
};

} // namespace

std::vector<Told> judge(const Course& course) {
    Judge judge(course.procedure);
    std::vector<Told> told;
    for (const Happened& happened : course.happened) {
        judge.happen(happened);
        told.push_back(judge.told());
    }
    return told;
}

std::pair<Course, std::vector<Told>> random_course(std::uint64_t seed) {
    return CourseMaker(seed).make();
}

bool well_formed(const Course& course) {
    std::vector<Asking> waiting;
    int round = 0;
    if (course.happened.empty() || course.happened.front().event.what != Happening::run_started)
        return false;
    for (const Happened& happened : course.happened) {
        const Event& event = happened.event;
        if (happened.deed != Deed::none)
            continue;
        if (event.what == Happening::run_started)
            waiting.clear();
        if (event.what == Happening::round_started) {
            waiting = event.askings;
            round = event.round;
        }
        if ((event.what == Happening::answered || event.what == Happening::failed) &&
            event.round == round && std::erase(waiting, event.asking) == 0)
            return false;
    }
    return true;
}

} // namespace slotwitness::oracle
