#include "procedure_oracle.hpp"

#include <algorithm>

// Rules, the cooling clock and the word, each read anew from everything that happened.
namespace slotwitness::oracle {

namespace {

bool is_report(const Event& event) {
    return event.what == Happening::answered || event.what == Happening::failed;
}

Reported reported_by(const Event& event) {
    Reported reported;
    reported.fact = event.fact;
    reported.whole = event.whole;
    return reported;
}

/// Where the round of this report began; nothing if it is not the one under way.
std::optional<std::size_t> round_of(const std::vector<Event>& events, std::size_t report) {
    for (std::size_t k = report; k-- > 0;) {
        if (events[k].what == Happening::run_started)
            return std::nullopt;
        if (events[k].what == Happening::round_started)
            return events[k].round == events[report].round ? std::optional(k) : std::nullopt;
    }
    return std::nullopt;
}

struct RuleLook {
    std::size_t event = 0; ///< that completed it, or refuted the rule before
    Time answered = 0;
    Truth truth = Truth::unknown;
};

/// Rule: throughout rules are judged on each answer: those of the round so far, asked since the
/// rule applies. While some are missing they can refute, no more; nor can a round confirm that ran
/// over G.
std::vector<RuleLook> looks_of(const Gate& holds, const std::vector<Event>& events,
                               std::size_t begin, std::size_t end, Time since) {
    std::vector<RuleLook> looks;
    std::vector<int> flaps; // told since the daemon started
    for (std::size_t k = begin; k < end; ++k) {
        if (events[k].what == Happening::run_started)
            flaps.clear();
        if (!is_report(events[k]) || std::ranges::count(holds.needs, events[k].asking) == 0)
            continue;
        const auto start = round_of(events, k);
        if (!start)
            continue;
        std::map<Asking, Reported> facts;
        std::set<Asking> reported;
        std::optional<int> told;
        Time answered = 0;
        for (std::size_t each = *start; each <= k; ++each) {
            const Event& event = events[each];
            if (!is_report(event) || event.round != events[*start].round || event.asked < since ||
                std::ranges::count(holds.needs, event.asking) == 0)
                continue;
            reported.insert(event.asking);
            answered = event.at;
            if (event.what == Happening::answered) {
                facts[event.asking] = reported_by(event);
                if (event.flaps)
                    told = event.flaps;
            }
        }
        if (reported.empty())
            continue;
        RuleLook look{k, answered, truth_of(holds.condition, facts)};
        const bool complete =
            reported.size() == holds.needs.size() && answered <= events[*start].at + holds.gap;
        if (!complete && look.truth != Truth::no)
            continue;
        if (complete && told) {
            // Rule: a move of a flap count is a look with that component unknown.
            if (!flaps.empty() && flaps.back() != *told && look.truth == Truth::yes)
                look.truth = Truth::unknown;
            flaps.push_back(*told);
        }
        looks.push_back(look);
    }
    return looks;
}

} // namespace

Judge::Judged Judge::rule(std::size_t number, Time now) const {
    const Rule& rule = procedure_.rules.at(number);
    Judged judged;
    const Opening* from = opening({false, rule.from.value_or(0)});
    const Opening* until = rule.until ? opening({false, *rule.until}) : nullptr;
    if (!from || rule.until == rule.from.value_or(0))
        return judged;
    const Done* closed = closing();
    const std::size_t end = until ? until->position : closed ? closed->position : events_.size();
    judged.told.active = !until && !closed;

    // Rule: false at one look, it stays lost until somebody answers for it; who has answered need
    // not do so again before it was true again.
    const auto looks = looks_of(rule.holds, events_, from->position, end, from->at);
    bool true_since = false;
    auto answers_before = [&, next = std::size_t{0}](std::size_t position) mutable {
        for (; next < done_.size() && done_[next].position <= position; ++next)
            if (done_[next].deed == Deed::rule_answered && done_[next].rule == number) {
                judged.told.lost = false;
                judged.told.accepted = !true_since;
            }
    };
    // Rule: what was shown to be lost while nothing could be recorded is lost, whatever was
    // answered before.
    auto losses_before = [&, next = std::size_t{0}](std::size_t position) mutable {
        for (; next < unrecorded_.size() && unrecorded_[next].event <= position; ++next) {
            if (unrecorded_[next].rule != number || unrecorded_[next].event < from->position)
                continue;
            answers_before(unrecorded_[next].event);
            judged.told.lost = true;
            judged.told.accepted = true_since = false;
        }
    };
    for (const RuleLook& look : looks) {
        losses_before(look.event);
        answers_before(look.event);
        if (look.truth == Truth::no) {
            judged.told.lost = judged.told.lost || !judged.told.accepted;
            true_since = false;
        } else if (look.truth == Truth::yes) {
            judged.told.accepted = false;
            true_since = true;
        }
    }
    losses_before(events_.size());
    answers_before(events_.size());

    if (!judged.told.active || looks.empty())
        return judged;
    // Rule: a restart discards readings; unseen once no look was answered for longer than G.
    const auto since = events_.begin() + static_cast<std::ptrdiff_t>(looks.back().event);
    if (std::ranges::count(since, events_.end(), Happening::run_started, &Event::what) > 0)
        return judged;
    judged.valid_until = looks.back().answered + rule.holds.gap;
    if (now <= *judged.valid_until)
        judged.told.truth = looks.back().truth;
    return judged;
}

/// Rule: from the asked time, less the refresh, of the last look that still showed the tray, or the
/// confirmation, if earlier, to the look that shows it operational. Where it is not known when it
/// left or came back, the longer time counts.
CoolingTold Judge::cooling(Time now) const {
    CoolingTold told;
    const Done* opened = find(Deed::opened);
    if (!procedure_.cooling || !opened || closing())
        return told;
    const Cooling& plan = *procedure_.cooling;
    const StepAt begins{false, plan.begins};
    Time shown = opened->at;
    std::optional<Time> said_out, shortest;
    bool may_be_out = false, part_is_out = false, lost_time = false;
    const auto runs = [&] { return told.began && !told.ended; };
    const auto begin = [&](Time at) {
        told = {};
        told.began = std::min(shown, at);
        shortest.reset();
        said_out.reset();
        lost_time = false;
    };
    const auto did = [&](const Done& done) {
        may_be_out = may_be_out || ((done.deed == Deed::released || done.deed == Deed::forced) &&
                                    done.step == begins && !done.over_effect);
        if (done.deed == Deed::confirmed && done.step == begins) {
            if (!runs())
                begin(done.at);
            said_out = done.at;
        }
        if (done.deed == Deed::confirmed && plan.out && done.step == StepAt{false, *plan.out})
            part_is_out = true;
        if (done.deed == Deed::unconfirmed && plan.out && done.step == StepAt{false, *plan.out})
            part_is_out = false;
        if (done.deed == Deed::clock_answered)
            told.accepted = true;
        if (done.deed == Deed::forecast)
            shortest = std::min(shortest.value_or(done.forecast), done.forecast);
    };
    const auto looked = [&](const Event& works, const Event& out) {
        const auto fact = [](const Event& event) {
            return truth_of({Condition::Shape::fact, event.asking, {}},
                            event.what == Happening::answered
                                ? std::map<Asking, Reported>{{event.asking, reported_by(event)}}
                                : std::map<Asking, Reported>());
        };
        // Of an answer that is not whole nothing is confirmed, and that it is listed neither.
        const Truth there = kleene_not(fact(out)) == Truth::yes && out.whole ? Truth::yes
                            : fact(out) == Truth::yes                        ? Truth::no
                                                                             : Truth::unknown;
        if (runs()) {
            const Time known_out = std::max(*told.began, said_out.value_or(*told.began));
            if (fact(works) == Truth::yes && works.asked - plan.refresh > known_out) {
                told.ended = works.at;
                told.accepted = false;
                shown = works.asked - plan.refresh;
            }
        } else if (there == Truth::yes) {
            shown = out.asked - plan.refresh;
        } else if (there == Truth::no || may_be_out) {
            begin(out.at);
        }
    };
    std::size_t next = 0;
    for (std::size_t k = opened->position; k <= events_.size(); ++k) {
        for (; next < done_.size() && done_[next].position <= k; ++next)
            did(done_[next]);
        if (k == events_.size())
            break;
        const Event& event = events_[k];
        // Rule: where the time between two runs cannot be known the larger counts.
        if (event.what == Happening::run_started && !event.elapsed_known && runs())
            lost_time = true;
        if (is_report(event) && event.asking == procedure_.out && event.asked >= opened->at &&
            round_of(events_, k))
            looked(events_[k - 1], event);
    }
    if (!runs())
        return told;
    told.limit = *told.began + plan.limit;
    // Rule: a sensor forecast can only shorten it.
    if (shortest)
        told.limit = std::max(*told.began, std::min(*told.limit, *shortest));
    told.passed = !told.accepted && (*told.limit <= now || lost_time);
    // Rule: when the old part must be out, else the tray goes back, from rehearsed step times.
    if (plan.out && !part_is_out) {
        Time takes = 0;
        bool rehearsed = true;
        for (std::size_t n = *plan.out + 1; n <= plan.ends; ++n) {
            rehearsed = rehearsed && procedure_.steps[n].takes;
            takes += procedure_.steps[n].takes.value_or(0);
        }
        if (rehearsed) {
            told.turn_back = *told.limit - takes;
            told.turning_back = *told.turn_back <= now;
        }
    }
    return told;
}

/// Rule: what is read from the rack is held against the serial by the newest whole answer of this
/// run that tells it. Another one stays lost until somebody answers for it; who has answered need
/// not do so again before something else was read or told.
ChassisTold Judge::chassis() const {
    ChassisTold told;
    if (!find(Deed::opened) || closing())
        return told;
    int reported = 0; // not known
    const auto hold = [&] {
        if (!told.read)
            return;
        const Truth same = reported == 0            ? Truth::unknown
                           : reported == *told.read ? Truth::yes
                                                    : Truth::no;
        const bool is_news = same != told.same;
        told.same = same;
        told.accepted = told.accepted && same != Truth::yes && !(same == Truth::no && is_news);
        told.lost = told.lost || (same == Truth::no && !told.accepted);
    };
    std::size_t next = 0;
    for (std::size_t k = 0; k <= events_.size(); ++k) {
        for (; next < done_.size() && done_[next].position <= k; ++next) {
            if (done_[next].deed == Deed::chassis_named) {
                told.read = done_[next].serial;
                told.accepted = false;
                hold();
            }
            if (done_[next].deed == Deed::chassis_answered) {
                told.lost = false;
                told.accepted = told.same != Truth::yes;
            }
        }
        if (k == events_.size())
            break;
        const Event& event = events_[k];
        if (event.what == Happening::run_started)
            reported = 0;
        if (event.what != Happening::answered || !event.whole || !event.serial ||
            !round_of(events_, k))
            continue;
        reported = *event.serial;
        if (reported != 0)
            hold();
    }
    return told;
}

bool Judge::stopped(const Told& told) const {
    const auto lost = [](const auto& part) { return part.lost; };
    return std::ranges::any_of(told.rules, lost) || std::ranges::any_of(told.steps, lost) ||
           std::ranges::any_of(told.back_out, lost) || told.cooling.passed || told.chassis.lost;
}

bool Judge::calls(const Told& told) const {
    const auto accepted = [](const auto& part) { return part.accepted; };
    if (told.cooling.turning_back || told.cooling.accepted ||
        std::ranges::any_of(told.rules, [](const RuleTold& r) { return r.active && r.accepted; }) ||
        std::ranges::any_of(told.steps, accepted) || std::ranges::any_of(told.back_out, accepted))
        return true;
    if (!told.step)
        return false;
    if (plan(*told.step).technician && told.chassis.accepted)
        return true;
    const StepTold step = stands(*told.step);
    const bool done = step.stage == Stage::confirmed;
    if (could_not_open(*told.step, done) || find(Deed::forced, told.step))
        return true;
    const Kept* waits = gate(*told.step, done);
    if (!waits || step.stage == Stage::released)
        return false;
    if (waits->said.verdict == Verdict::fail)
        return true;
    // Rule: a step claimed but not seen within the refresh says "you may be at another chassis".
    const Step& plan = this->plan(*told.step);
    if (!done || !plan.technician || waits->said.truth != Truth::no || plan.effect->hold > 0 ||
        plan.effect->condition.shape != Condition::Shape::fact ||
        plan.effect->condition.asking != procedure_.out)
        return false;
    const auto number = static_cast<std::size_t>(waits - gates_.data());
    const auto looks =
        oracle::looks_of(waits->gate, number, std::span(events_).subspan(waits->from),
                         events_.size() - waits->from, now_);
    std::optional<Time> asked;
    for (const Look& look : looks)
        if (!look.missed)
            asked = look.asked;
    return asked && *asked - plan.effect->refresh >= *step.confirmed;
}

/// Rule: STATE MET is verdict pass, standing met, released. Nothing if it is not; else until when.
std::optional<Time> Judge::met_until(const Told& told, Time now) const {
    if (!told.step || stands(*told.step).stage != Stage::released)
        return std::nullopt;
    std::optional<Time> until;
    const auto holds = [&](std::optional<Time> fresh) {
        if (!fresh || *fresh < now)
            return false;
        until = std::min(until.value_or(*fresh), *fresh);
        return true;
    };
    for (const StepAt step : all_steps_) {
        if (step != *told.step && !is_guarded(step))
            continue;
        const Kept* fact = gate(step, false);
        if (!fact || fact->said.verdict != Verdict::pass || fact->said.standing != Standing::met ||
            !holds(fresh_until(*fact)))
            return std::nullopt;
    }
    for (std::size_t n = 0; n < procedure_.rules.size(); ++n) {
        const Judged judged = rule(n, now);
        if (judged.told.active && (judged.told.truth != Truth::yes || !holds(judged.valid_until)))
            return std::nullopt;
    }
    return until;
}

Told Judge::tell(Time now) const {
    Told told;
    const Done* opened = find(Deed::opened);
    if (!opened)
        return told;
    told.open = true;
    told.in_charge = in_charge_;
    told.phase = closing()              ? Phase::closed
                 : find(Deed::back_out) ? Phase::backing_out
                                        : Phase::forward;
    if (const Done* closed = closing())
        told.outcome = closed->deed == Deed::closed_done         ? Closing::done
                       : closed->deed == Deed::closed_backed_out ? Closing::backed_out
                                                                 : Closing::closed_degraded;
    told.step = current();
    for (const StepAt step : all_steps_) {
        StepTold each = stands(step);
        each.fact = verdict(step, false);
        if (count(Deed::unconfirmed, step) == 0 || confirmed(step))
            each.effect = verdict(step, true);
        if (const auto latch = latches_.find(step); latch != latches_.end()) {
            each.lost = latch->second.lost;
            each.accepted = latch->second.accepted;
        }
        (step.back ? told.back_out : told.steps).push_back(each);
    }
    for (std::size_t n = 0; n < procedure_.rules.size(); ++n)
        told.rules.push_back(rule(n, now).told);
    told.cooling = cooling(now);
    told.chassis = chassis();
    if (told.phase == Phase::closed)
        return told;
    if (stopped(told)) {
        told.word = Word::stop;
    } else if (calls(told)) {
        told.word = Word::call;
    } else if (const auto until = met_until(told, now)) {
        told.word = Word::state_met;
        told.valid_until = until;
    }
    return told;
}

} // namespace slotwitness::oracle
