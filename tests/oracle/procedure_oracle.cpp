#include "procedure_oracle.hpp"

#include <algorithm>

// Steps and gates: what may be done, what was, and what follows.
namespace slotwitness::oracle {

Judge::Judge(Procedure procedure) : procedure_(std::move(procedure)) {
    for (std::size_t n = 0; n < procedure_.steps.size(); ++n)
        all_steps_.push_back({false, n});
    for (std::size_t n = 0; n < procedure_.back_out.size(); ++n)
        all_steps_.push_back({true, n});
}

const Step& Judge::plan(StepAt step) const {
    return (step.back ? procedure_.back_out : procedure_.steps).at(step.number);
}

const Judge::Done* Judge::find(Deed deed, std::optional<StepAt> step) const {
    for (const Done& done : done_)
        if (done.deed == deed && (!step || done.step == *step))
            return &done;
    return nullptr;
}

const Judge::Done* Judge::closing() const {
    for (const Deed deed : {Deed::closed_done, Deed::closed_backed_out, Deed::closed_degraded})
        if (const Done* done = find(deed))
            return done;
    return nullptr;
}

const Judge::Opening* Judge::opening(StepAt step) const {
    const auto found = std::ranges::find(openings_, step, &Opening::step);
    return found == openings_.end() ? nullptr : &*found;
}

const Judge::Kept* Judge::gate(StepAt step, bool effect) const {
    const Kept* newest = nullptr;
    for (const Kept& gate : gates_)
        if (gate.step == step && gate.effect == effect)
            newest = &gate;
    return newest;
}

std::optional<Verdict> Judge::verdict(StepAt step, bool effect) const {
    const Kept* kept = gate(step, effect);
    return kept ? std::optional(kept->said.verdict) : std::nullopt;
}

int Judge::count(Deed deed, StepAt step) const {
    return static_cast<int>(std::ranges::count_if(
        done_, [&](const Done& done) { return done.deed == deed && done.step == step; }));
}

/// The confirmation that was not taken back.
const Judge::Done* Judge::confirmed(StepAt step) const {
    const Done* counts = nullptr;
    for (const Done& done : done_) {
        if (done.step == step && done.deed == Deed::confirmed)
            counts = &done;
        if (done.step == step && done.deed == Deed::unconfirmed)
            counts = nullptr;
    }
    return counts;
}

/// Rule: for some seconds. What came before that time was over came before it, also at its instant.
bool Judge::may_be_taken_back(const Done& confirmed) const {
    const Time over = confirmed.at + procedure_.undo;
    if (procedure_.undo == 0)
        return false;
    const Done* ended = closing();
    if (const Done* back = find(Deed::back_out); back && !confirmed.step.back)
        ended = back; // a closing comes later
    if (ended)
        return ended->at <= over &&
               (ended->position == 0 || events_[ended->position - 1].at < over);
    return now_ < over;
}

/// How often the step's fact, or its effect, was asked for.
int Judge::attempts(StepAt step, bool effect) const {
    if (!opening(step) || (effect && (!confirmed(step) || !plan(step).effect)))
        return 0;
    int attempts = effect ? count(Deed::confirmed, step) : 1;
    for (const Done& done : done_)
        if (done.deed == Deed::tried_again && done.step == step && done.over_effect == effect)
            ++attempts;
    return attempts;
}

/// Somebody else had the name that its gate was to have.
bool Judge::could_not_open(StepAt step, bool effect) const {
    return attempts(step, effect) == 1 && taken_.contains({step, effect});
}

/// Rule: fact, release, act and its confirmation, effect: in this order.
StepTold Judge::stands(StepAt step) const {
    StepTold told;
    const Opening* opened = opening(step);
    if (!opened)
        return told;
    told.stage = Stage::fact;
    told.opened = opened->at;
    for (const Done& done : done_) {
        if (done.step != step || told.ended)
            continue;
        if (done.deed == Deed::released || (done.deed == Deed::forced && !done.over_effect)) {
            told.stage = Stage::released;
            told.released = done.at;
        } else if (done.deed == Deed::confirmed) {
            told.stage = Stage::confirmed;
            told.confirmed = done.at;
        } else if (done.deed == Deed::unconfirmed) {
            told.stage = Stage::released;
            told.confirmed.reset();
        } else if (done.deed == Deed::skipped || done.deed == Deed::forced) {
            told.stage = done.deed == Deed::skipped ? Stage::skipped : Stage::done;
            told.ended = done.at;
        }
    }
    if (told.stage == Stage::confirmed && !may_be_taken_back(*confirmed(step))) {
        const Kept* effect = gate(step, true);
        const Time over = *told.confirmed + procedure_.undo;
        if (!plan(step).effect)
            told.ended = over;
        else if (effect && effect->said.verdict == Verdict::pass)
            told.ended = std::max(over, *effect->said.decided);
        if (told.ended)
            told.stage = Stage::done;
    }
    // A step in whose midst the way back began goes no further.
    if (const Done* back = find(Deed::back_out); back && !step.back && !told.ended)
        told.ended = back->at;
    return told;
}

/// The steps to be taken now, in order. Rule: a step back only if what it undoes had been released.
std::vector<StepAt> Judge::way() const {
    const bool back = find(Deed::back_out) != nullptr;
    std::vector<StepAt> way;
    for (const StepAt step : all_steps_)
        if (step.back == back && (!back || stands({false, plan(step).undoes}).released.has_value()))
            way.push_back(step);
    return way;
}

std::optional<StepAt> Judge::current() const {
    if (!find(Deed::opened) || closing())
        return std::nullopt;
    for (const StepAt step : way()) {
        const Stage stage = stands(step).stage;
        if (stage != Stage::done && stage != Stage::skipped)
            return step;
    }
    return std::nullopt;
}

/// Rule: a released fact is guarded until the step named opens, if one is.
bool Judge::is_guarded(StepAt step) const {
    if (!find(Deed::released, step) || closing() || (!step.back && find(Deed::back_out)))
        return false;
    const auto until = plan(step).until;
    return until && !opening({false, *until});
}

/// Whether nobody waits for the gate any more, nor guards it.
bool Judge::ends(const Kept& kept) const {
    if (closing() || (!kept.step.back && find(Deed::back_out)))
        return true;
    const Stage stage = stands(kept.step).stage;
    if (kept.effect)
        return stage != Stage::confirmed;
    const Done* confirmed = this->confirmed(kept.step);
    const bool is_acted = stage == Stage::released ||
                          (stage == Stage::confirmed && confirmed && may_be_taken_back(*confirmed));
    const bool acts_upon_it = is_acted && find(Deed::released, kept.step);
    return stage != Stage::fact && !acts_upon_it && !is_guarded(kept.step);
}

/// The last instant at which the gate's last look may be shown.
std::optional<Time> Judge::fresh_until(const Kept& kept) const {
    const auto number = static_cast<std::size_t>(&kept - gates_.data());
    const auto looks = looks_of(kept.gate, number, std::span(events_).subspan(kept.from),
                                events_.size() - kept.from, now_);
    std::optional<Time> until;
    for (const Look& look : looks)
        if (!look.missed)
            until = look.answered + kept.gate.gap;
    return until;
}

/// One more event, and what every gate says of it.
void Judge::add(Event event, Time at) {
    event.at = at;
    events_.push_back(std::move(event));
    moment(at, true);
}

void Judge::moment(Time now, bool after_event) {
    now_ = now;
    for (std::size_t n = 0; n < gates_.size(); ++n) {
        Kept& kept = gates_[n];
        if (kept.said.retired)
            continue;
        kept.said = at_moment(kept.gate, n, std::span(events_).subspan(kept.from),
                              events_.size() - kept.from, now, after_event, kept.said);
    }
    // Rule: lost while guarded is an alarm, until somebody answers; who has answered need not do so
    // again before it was met again.
    for (const StepAt step : all_steps_) {
        Latch& latch = latches_[step];
        const Kept* fact = gate(step, false);
        if (!is_guarded(step)) {
            latch.accepted = false;
        } else if (fact && fact->said.standing == Standing::lost) {
            latch.lost = latch.lost || !latch.accepted;
            latch.met_since = false;
        } else if (fact && fact->said.standing == Standing::met) {
            latch.accepted = false;
            latch.met_since = true;
        }
    }
}

void Judge::open(StepAt step, bool effect, Time at) {
    const int attempt = attempts(step, effect);
    Kept kept{effect ? *plan(step).effect : plan(step).fact, step, effect, attempt, 0, false, {}};
    // What the gate can have seen begins with the round under way.
    for (std::size_t k = 0; k < events_.size(); ++k)
        if (events_[k].what == Happening::round_started ||
            events_[k].what == Happening::run_started)
            kept.from = k;
    Event event;
    event.what = Happening::opened;
    event.gate = gates_.size();
    gates_.push_back(std::move(kept));
    if (attempt == 1)
        given_.insert({step, effect});
    add(std::move(event), at);
}

/// What follows by itself: the next step opens, gates are asked for, others end.
void Judge::settle(Time at) {
    for (bool goes_on = true; goes_on;) {
        goes_on = false;
        // What was wanted comes before what is due at its instant: what still waits, the newest,
        // ends first.
        for (std::size_t n = gates_.size(); n-- > 0;) {
            if (gates_[n].closed || gates_[n].said.retired || !ends(gates_[n]))
                continue;
            gates_[n].closed = true;
            Event event;
            event.what = Happening::closed;
            event.gate = n;
            add(std::move(event), at);
            goes_on = true;
        }
        const auto step = current();
        if (step && !opening(*step)) {
            openings_.push_back({*step, at, events_.size()});
            goes_on = true;
        }
        for (const bool effect : {false, true}) {
            if (!step || attempts(*step, effect) == 0 || could_not_open(*step, effect))
                continue;
            const Kept* kept = gate(*step, effect);
            if (kept && kept->attempt == attempts(*step, effect))
                continue;
            open(*step, effect, at);
            goes_on = true;
        }
    }
}

Judge::Seen Judge::seen(StepAt step) const {
    const auto verdict = [&](bool effect) {
        return this->verdict(step, effect).value_or(Verdict::pending);
    };
    const auto latch = latches_.find(step);
    const Latch known = latch == latches_.end() ? Latch() : latch->second;
    return {stands(step).stage,   attempts(step, false),
            attempts(step, true), verdict(false),
            verdict(true),        known.lost,
            known.answers,        count(Deed::unconfirmed, step)};
}

/// Rule: only upon a fact that is met now, with nothing lost that nobody has answered for, and
/// every rule and every guarded fact seen to hold or answered for.
bool Judge::may_release(StepAt step, Time at, const Told& before) const {
    const auto is_met = [&](StepAt of) {
        const Kept* fact = gate(of, false);
        return fact && fact->said.verdict == Verdict::pass &&
               fact->said.standing == Standing::met && fresh_until(*fact) >= at;
    };
    // Rule: no technician's step before it is known at which chassis they stand.
    const ChassisTold& stands_at = before.chassis;
    if (procedure_.right_chassis && plan(step).technician && !stands_at.accepted &&
        stands_at.same != Truth::yes)
        return false;
    if (before.steps.empty() || stopped(before) || !is_met(step) || could_not_open(step, false))
        return false;
    for (const StepAt other : all_steps_)
        if (is_guarded(other) && !latches_.at(other).accepted && !is_met(other))
            return false;
    for (std::size_t n = 0; n < procedure_.rules.size(); ++n) {
        const Judged judged = rule(n, now_);
        if (judged.told.active && !judged.told.accepted &&
            (judged.told.truth != Truth::yes || *judged.valid_until < at))
            return false;
    }
    return true;
}

bool Judge::may(const Happened& happened, const Told& before) const {
    const auto& [step, deed] = std::pair(happened.step, happened.deed);
    const std::pair name(step, happened.effect);
    const bool is_open = before.open && before.phase != Phase::closed;
    if (deed == Deed::opened)
        return !before.open;
    if (deed == Deed::gate_opened)
        return !taken_.contains(name) && !given_.contains(name);
    if (deed == Deed::gate_closed)
        return !is_open || !given_.contains(name);
    if (!is_open)
        return false;
    if (deed == Deed::forecast)
        return before.cooling.began && !before.cooling.ended;
    if (!happened.complete)
        return false;
    const bool runs = before.cooling.began && !before.cooling.ended;
    switch (deed) {
    case Deed::shift_taken:
    case Deed::closed_degraded:
        return true;
    case Deed::rule_answered:
        return happened.rule < before.rules.size() && before.rules[happened.rule].lost;
    case Deed::step_answered:
        return latches_.at(step).lost;
    case Deed::clock_answered:
        return before.cooling.passed;
    case Deed::chassis_named:
        return happened.serial >= 1000;
    case Deed::chassis_answered:
        return before.chassis.lost || (before.chassis.read && !before.chassis.accepted &&
                                       before.chassis.same == Truth::unknown);
    case Deed::back_out:
        return before.phase == Phase::forward;
    case Deed::closed_done:
    case Deed::closed_backed_out:
        return !stopped(before) && !runs && !before.step &&
               before.phase == (deed == Deed::closed_done ? Phase::forward : Phase::backing_out);
    default:
        break;
    }
    // Rule: an act upon another state than the present one is refused.
    if (before.step != step || happened.ago > history_.size())
        return false;
    const auto& then = history_[history_.size() - happened.ago];
    if (const auto saw = then.find(step); saw == then.end() || saw->second != seen(step))
        return false;
    const Stage stage = stands(step).stage;
    switch (deed) {
    case Deed::released:
        return stage == Stage::fact && may_release(step, happened.event.at, before);
    case Deed::confirmed:
        return stage == Stage::released && happened.read_back != Happened::ReadBack::wrong;
    case Deed::unconfirmed:
        return stage == Stage::confirmed &&
               happened.event.at < confirmed(step)->at + procedure_.undo;
    case Deed::tried_again: {
        const bool effect = stage == Stage::confirmed;
        const Kept* kept = gate(step, effect);
        return (effect || stage == Stage::fact) &&
               (could_not_open(step, effect) || (kept && kept->said.verdict == Verdict::fail));
    }
    case Deed::forced:
        return stage != Stage::released;
    default:
        return true;
    }
}

void Judge::carry_out(const Happened& happened) {
    const std::pair name(happened.step, happened.effect);
    if (happened.deed == Deed::gate_opened)
        taken_.insert(name);
    if (happened.deed == Deed::gate_opened || happened.deed == Deed::gate_closed)
        return;
    if (happened.deed == Deed::shift_taken || happened.deed == Deed::opened)
        in_charge_ = happened.who;
    if (happened.deed == Deed::step_answered) {
        Latch& latch = latches_[happened.step];
        ++latch.answers;
        latch.lost = false;
        latch.accepted = is_guarded(happened.step) && !latch.met_since;
    }
    done_.push_back({happened.deed, happened.step, happened.rule,
                     stands(happened.step).stage == Stage::confirmed, happened.event.at,
                     happened.forecast, happened.serial, events_.size()});
}

void Judge::happen(const Happened& happened) {
    const Time at = happened.event.at;
    while (now_ < at - 1) {
        moment(now_ + 1, false);
        if (find(Deed::opened))
            settle(now_); // time alone ends what can be taken back
    }
    const std::size_t before = events_.size();
    bool refused = false;
    if (happened.deed != Deed::none) {
        refused = !may(happened, tell(now_));
        if (!refused)
            carry_out(happened);
    } else {
        Event event = happened.event;
        if (event.what == Happening::round_started &&
            std::ranges::count(event.askings, procedure_.works) > 0)
            event.askings.push_back(procedure_.out);
        add(event, at);
        for (const std::size_t rule : happened.lost_rules)
            unrecorded_.push_back({rule, events_.size() - 1});
        for (const StepAt step : happened.lost_steps) {
            latches_[step].lost = true;
            latches_[step].accepted = latches_[step].met_since = false;
        }
        if ((event.what == Happening::answered || event.what == Happening::failed) &&
            event.asking == procedure_.works) {
            event.asking = procedure_.out;
            event.fact = happened.out;
            add(event, at);
        }
    }
    settle(at);
    if (events_.size() == before) {
        add({}, at); // what is due at this instant comes after what was wanted
        settle(at);
    }
    told_ = tell(at);
    told_.refused = refused;
    history_.emplace_back();
    if (find(Deed::opened))
        for (const StepAt step : all_steps_)
            history_.back().emplace(step, seen(step));
}

} // namespace slotwitness::oracle
