#include "oracle.hpp"

#include <algorithm>
#include <map>

namespace slotwitness::oracle {
namespace {

using Facts = std::map<Asking, Reported>;

/// What was seen at one look, and what was known from before it.
struct Seen {
    Facts facts;
    Time asked = 0;
    Time answered = 0;
    std::optional<Facts> baseline;
    std::vector<const Seen*> earlier; ///< looks of this gate in this run, the first one first
};

/// What a query told at a look; nothing if it failed, or was cut short and that does not count.
const Reported* told(const Facts& facts, Asking asking, bool cut_ones_too) {
    // Rule: a failed query makes its facts unknown.
    const auto found = facts.find(asking);
    return found == facts.end() || (!found->second.whole && !cut_ones_too) ? nullptr
                                                                           : &found->second;
}

Truth as_in_baseline(const Seen& seen, Asking asking, bool cut_ones_too) {
    // Rule: without a baseline it is unknown.
    const Reported* now = told(seen.facts, asking, cut_ones_too);
    const Reported* then = seen.baseline ? told(*seen.baseline, asking, false) : nullptr;
    if (now == nullptr || then == nullptr || !now->identity || !then->identity)
        return Truth::unknown;
    return *now->identity == *then->identity ? Truth::yes : Truth::no;
}

Truth not_rising(const Gate& gate, const Seen& seen, Asking asking, bool cut_ones_too) {
    const Reported* now = told(seen.facts, asking, cut_ones_too);
    if (now == nullptr || !now->count)
        return Truth::unknown;
    // Rule: compared with whole answers of earlier looks of the same gate in the same run.
    std::vector<std::pair<int, Time>> before;
    for (const Seen* look : seen.earlier)
        if (const Reported* then = told(look->facts, asking, false); then && then->count)
            before.emplace_back(*then->count, look->answered);
    // Rule: first look: unknown. It rose: false. It fell: unknown.
    if (before.empty() || *now->count < before.back().first)
        return Truth::unknown;
    if (*now->count > before.back().first)
        return Truth::no;
    // Rule: not rising only over looks of which the earlier one is surely older: b ≤ a − R.
    for (std::size_t first = 0; first < before.size(); ++first) {
        bool steady = before[first].second <= seen.asked - gate.refresh;
        for (std::size_t k = first; k < before.size(); ++k)
            steady = steady && before[k].first == *now->count;
        if (steady)
            return Truth::yes;
    }
    return Truth::unknown;
}

/// The condition over what was seen; answers that are not whole count only if `cut_ones_too`.
Truth evaluate(const Gate& gate, const Condition& condition, const Seen& seen, bool cut_ones_too) {
    const auto part = [&](std::size_t n) {
        return evaluate(gate, condition.parts.at(n), seen, cut_ones_too);
    };
    switch (condition.shape) {
    case Condition::Shape::fact: {
        const Reported* now = told(seen.facts, condition.asking, cut_ones_too);
        return now == nullptr ? Truth::unknown : now->fact;
    }
    case Condition::Shape::as_in_baseline:
        return as_in_baseline(seen, condition.asking, cut_ones_too);
    case Condition::Shape::not_rising:
        return not_rising(gate, seen, condition.asking, cut_ones_too);
    case Condition::Shape::negation:
        return kleene_not(part(0));
    case Condition::Shape::conjunction:
        return kleene_and(part(0), part(1));
    case Condition::Shape::disjunction:
        return kleene_or(part(0), part(1));
    }
    return Truth::unknown;
}

/// Rule: let T0 be the condition with every fact from answers that are not whole unknown, T1 with
/// them as read: the result is T0 if that is definite; else false if T1 is false; else unknown.
Truth truth_of(const Gate& gate, const Seen& seen) {
    const Truth t0 = evaluate(gate, gate.condition, seen, false);
    if (t0 != Truth::unknown)
        return t0;
    return evaluate(gate, gate.condition, seen, true) == Truth::no ? Truth::no : Truth::unknown;
}

bool compares(const Condition& condition) {
    return condition.shape == Condition::Shape::as_in_baseline ||
           std::ranges::any_of(condition.parts, compares);
}

/// A round that was kept for comparison.
struct Kept {
    std::size_t event = 0; ///< that ended it
    Facts facts;
};

/// Rule: the baseline is the next round that was asked after the wish and brought a whole answer to
/// each query that the wish names. A newer wish takes the place of one that is not met.
std::optional<Kept> baseline_before(std::span<const Event> events, std::size_t end) {
    std::optional<Kept> kept;
    const Event* wish = nullptr;
    const Event* round = nullptr;
    std::map<Asking, const Event*> ended;
    for (std::size_t k = 0; k < end; ++k) {
        const Event& event = events[k];
        if (event.what == Happening::baseline_wanted)
            wish = &event;
        if (event.what == Happening::round_started || event.what == Happening::run_started) {
            round = event.what == Happening::round_started ? &event : nullptr;
            ended.clear();
        }
        if ((event.what != Happening::answered && event.what != Happening::failed) || !round)
            continue;
        ended.emplace(event.asking, &event);
        if (ended.size() < round->askings.size() || !wish)
            continue;
        Kept candidate{k, {}};
        for (const Asking asking : wish->askings)
            if (const auto found = ended.find(asking);
                found != ended.end() && found->second->what == Happening::answered &&
                found->second->whole && found->second->asked >= wish->at) {
                const Event& answer = *found->second;
                candidate.facts[asking] = {answer.fact, true, answer.identity, answer.count};
            }
        if (candidate.facts.size() == wish->askings.size()) {
            kept = std::move(candidate);
            wish = nullptr;
        }
    }
    return kept;
}

std::optional<std::size_t> opening_of(std::size_t number, std::span<const Event> events,
                                      std::size_t seen) {
    for (std::size_t k = 0; k < seen; ++k)
        if (events[k].what == Happening::opened && events[k].gate == number)
            return k;
    return std::nullopt;
}

/// In which run of the daemon the moment after `seen` events lies.
int run_of(std::span<const Event> events, std::size_t seen) {
    return static_cast<int>(std::ranges::count(events.begin(),
                                               events.begin() + static_cast<std::ptrdiff_t>(seen),
                                               Happening::run_started, &Event::what));
}

/// How one round ended for one gate.
struct RoundEnd {
    std::size_t event =
        0; ///< the event that ended it, or the first one that came too late to do so
    Look look;
    std::optional<int> flaps;
    std::size_t start = 0; ///< the event that began it
    Facts facts;
};

std::optional<RoundEnd> round_end(const Gate& gate, Time opened, std::span<const Event> events,
                                  std::size_t start, std::size_t seen, Time now) {
    const Event& round = events[start];
    // Rule: a look of a gate is one round of the queries that it needs.
    for (const Asking need : gate.needs)
        if (std::ranges::count(round.askings, need) == 0)
            return std::nullopt;
    Look look;
    look.round = round.round;
    look.run = run_of(events, start);

    // Rule: a restart discards readings; of a round that the next one follows nothing more comes.
    std::size_t cut = start + 1;
    while (cut < seen && events[cut].what != Happening::run_started &&
           events[cut].what != Happening::round_started)
        ++cut;
    // Rule: overdue by more than G. Of a round begun before the opening nobody knows whether it
    // counts at all.
    const bool awaited = round.at >= opened;
    const Time in_time = round.at + gate.gap;

    // Rule: a = asked (before the first byte of the first), b = answered or failed (after the last
    // byte of the last). It is judged from that round's answers alone; nothing is carried over.
    Facts facts;
    std::optional<int> flaps;
    std::size_t ended = 0;
    for (std::size_t k = start + 1; k < cut; ++k) {
        const Event& event = events[k];
        const bool of_it = (event.what == Happening::answered || event.what == Happening::failed) &&
                           event.round == round.round &&
                           std::ranges::count(gate.needs, event.asking) > 0;
        // Rule: overdue by more than G is missed, whatever else stands at that instant.
        if (!of_it || (awaited && event.at > in_time))
            continue;
        look.asked = ended == 0 ? event.asked : std::min(look.asked, event.asked);
        ++ended;
        if (event.what == Happening::answered) {
            facts[event.asking] = {event.fact, event.whole, event.identity, event.count};
            if (event.flaps && event.whole)
                flaps = event.flaps;
        }
        if (ended < gate.needs.size())
            continue;
        look.answered = look.known = event.at;
        // Rule: a round with no answer is missed.
        look.missed = facts.empty();
        return RoundEnd{k, look, flaps, start, std::move(facts)};
    }
    if (!awaited)
        return std::nullopt;
    look.asked = look.answered = round.at;
    look.missed = look.unfinished = true;
    // Rule: a round overdue by more than G is missed.
    for (std::size_t k = start + 1; k <= cut; ++k)
        if (k < seen ? events[k].at > in_time : now > in_time) {
            look.known = in_time + 1;
            look.cut_off = k == cut && k < seen && events[k].at == in_time + 1;
            return RoundEnd{k, look, std::nullopt, start, {}};
        }
    if (cut == seen)
        return std::nullopt;
    // One that a restart or the next round cut off brought no answer either.
    look.known = events[cut].at;
    look.cut_off = true;
    return RoundEnd{cut, look, std::nullopt, start, {}};
}

Truth if_seen(const Look& look, bool had_it_been_true) {
    // Rule: had every unknown or missed look been true.
    return had_it_been_true && look.truth == Truth::unknown ? Truth::yes : look.truth;
}

/// Looks i…n are one run: all true, every neighbouring pair close enough.
bool one_run(const Gate& gate, const std::vector<Look>& looks, std::size_t i, std::size_t n,
             bool optimistic) {
    // Rule: looks i…n are all true.
    for (std::size_t k = i; k <= n; ++k)
        if (if_seen(looks[k], optimistic) != Truth::yes)
            return false;
    for (std::size_t k = i; k < n; ++k) {
        // Rule: every neighbouring pair has b_{k+1} − a_k ≤ G. (Had a round ended that did not, it
        // might have been in time for its neighbours.)
        const bool unfinished = looks[k].unfinished || looks[k + 1].unfinished;
        if (!unfinished && looks[k + 1].answered - looks[k].asked > gate.gap)
            return false;
        // Rule: a restart discards readings (holds start again).
        if (looks[k].run != looks[k + 1].run)
            return false;
        // Rule: another baseline between two looks starts the hold again. (What was compared with
        // either was not unknown.)
        if (!optimistic && looks[k].baseline != looks[k + 1].baseline)
            return false;
    }
    return true;
}

bool met_at(const Gate& gate, const std::vector<Look>& looks, std::size_t n, bool optimistic) {
    // Rule: without `for`, any true look meets it.
    if (gate.hold == 0)
        return if_seen(looks[n], optimistic) == Truth::yes;
    // Rule: met at look n when some i < n exists such that looks i…n are all true, a_n − R − b_i ≥
    // H.
    for (std::size_t i = 0; i < n; ++i)
        if (looks[n].asked - gate.refresh - looks[i].answered >= gate.hold &&
            one_run(gate, looks, i, n, optimistic))
            return true;
    return false;
}

/// The first looks of runs that a look still to come can lengthen at `now`.
std::vector<std::size_t> present_run(const Gate& gate, const std::vector<Look>& looks, int run,
                                     Time now, bool optimistic) {
    // Rule: a restart ends the run; so does a gap over G: whatever ends from now on has b − a_last
    // > G.
    if (looks.empty() || looks.back().run != run ||
        (!looks.back().unfinished && now - looks.back().asked > gate.gap))
        return {};
    std::vector<std::size_t> starts;
    for (std::size_t i = 0; i < looks.size(); ++i)
        if (one_run(gate, looks, i, looks.size() - 1, optimistic))
            starts.push_back(i);
    return starts;
}

/// Rule: s = b_i of the present run or t if none; no later look could meet it when s + H + R >
/// opened + D (H > 0).
bool in_time(const Gate& gate, Time opened, const std::vector<Look>& looks,
             const std::vector<std::size_t>& run, Time now) {
    const auto fits = [&](Time s) { return s + gate.hold + gate.refresh <= opened + *gate.within; };
    return fits(now) ||
           std::ranges::any_of(run, [&](std::size_t i) { return fits(looks[i].answered); });
}

/// Rule: fail as soon as no later look could meet it; at the latest just after opened + D.
bool could_still(const Gate& gate, Time opened, const std::vector<Look>& looks, int run, Time now) {
    if (now > opened + *gate.within)
        return false;
    return gate.hold == 0 ||
           in_time(gate, opened, looks, present_run(gate, looks, run, now, false), now);
}

Failure failure_of(const Gate& gate, Time opened, const std::vector<Look>& looks, int run,
                   Time now) {
    // What was never seen false did not fail by being seen false.
    if (std::ranges::count(looks, Truth::no, &Look::truth) == 0)
        return Failure::not_seen;
    // Rule: not seen, if it would have passed, or still could, had every unknown or missed look
    // been true.
    for (std::size_t n = 0; n < looks.size(); ++n)
        if (looks[n].answered <= opened + *gate.within && met_at(gate, looks, n, true))
            return Failure::not_seen;
    // A run begun in time that only lacks looks still could, also just after the deadline.
    const auto begun = present_run(gate, looks, run, now, true);
    return gate.hold > 0 && in_time(gate, opened, looks, begun, now) ? Failure::not_seen
                                                                     : Failure::seen_false;
}

/// Truth, held and standing as they are now, whatever was decided.
Said now_of(const Gate& gate, const std::vector<Look>& looks, int run, Time now,
            const Said& before) {
    Said said;
    said.open = true;
    said.standing = Standing::unseen;
    std::size_t end = looks.size();
    while (end > 0 && looks[end - 1].missed)
        --end;
    // Rule: unseen: no look answered for longer than G.
    if (end == 0 || now - looks[end - 1].answered > gate.gap)
        return said;
    const Look& last = looks[end - 1];
    // Rule: a restart discards readings.
    const bool here = last.run == run;
    if (here)
        said.truth = last.truth;
    // Rule: held is a_n − R − b_i of the present run, not below 0.
    for (std::size_t i = 0; here && i < looks.size(); ++i)
        if (one_run(gate, looks, i, looks.size() - 1, false))
            said.held = std::max(said.held, last.asked - gate.refresh - looks[i].answered);
    // Rule: settling: true again, hold not yet met again.
    if (said.truth == Truth::yes)
        said.standing = met_at(gate, looks, end - 1, false) ? Standing::met : Standing::settling;
    // What tells neither true nor false raises no alarm, and calls none off.
    else if (said.truth == Truth::no || before.standing == Standing::lost)
        said.standing = Standing::lost;
    return said;
}

} // namespace

// Kleene, Introduction to Metamathematics, 1952, pp. 332-335, the tables of the strong connectives,
// written out (rows: left no, unknown, yes).
Truth kleene_not(Truth value) {
    static constexpr Truth table[3] = {Truth::yes, Truth::unknown, Truth::no};
    return table[static_cast<int>(value)];
}
Truth kleene_and(Truth left, Truth right) {
    static constexpr Truth table[3][3] = {{Truth::no, Truth::no, Truth::no},
                                          {Truth::no, Truth::unknown, Truth::unknown},
                                          {Truth::no, Truth::unknown, Truth::yes}};
    return table[static_cast<int>(left)][static_cast<int>(right)];
}
Truth kleene_or(Truth left, Truth right) {
    static constexpr Truth table[3][3] = {{Truth::no, Truth::unknown, Truth::yes},
                                          {Truth::unknown, Truth::unknown, Truth::yes},
                                          {Truth::yes, Truth::yes, Truth::yes}};
    return table[static_cast<int>(left)][static_cast<int>(right)];
}

/// Rule: let T0 be the condition with every fact from answers that are not whole unknown, T1 with
/// them as read: the result is T0 if that is definite; else false if T1 is false; else unknown.
Truth truth_of(const Condition& condition, const std::map<Asking, Reported>& facts) {
    Gate gate;
    gate.condition = condition;
    Seen seen;
    seen.facts = facts;
    return truth_of(gate, seen);
}

std::vector<Look> looks_of(const Gate& gate, std::size_t number, std::span<const Event> events,
                           std::size_t seen, Time now) {
    const auto opening = opening_of(number, events, seen);
    if (!opening)
        return {};
    std::vector<RoundEnd> ends;
    for (std::size_t k = 0; k < seen; ++k)
        if (events[k].what == Happening::round_started)
            if (const auto end = round_end(gate, events[*opening].at, events, k, seen, now))
                // Rule: only looks with a_k ≥ opened count.
                if (end->event > *opening && end->look.asked >= events[*opening].at)
                    ends.push_back(*end);
    std::vector<Seen> all(ends.size());
    for (std::size_t n = 0; n < ends.size(); ++n) {
        Look& look = ends[n].look;
        if (look.missed)
            continue;
        Seen& now = all[n];
        now.facts = ends[n].facts;
        now.asked = look.asked;
        now.answered = look.answered;
        for (std::size_t k = 0; k < n; ++k)
            if (!ends[k].look.missed && ends[k].look.run == look.run)
                now.earlier.push_back(&all[k]);
        // Rule: a round is judged by the baseline before it.
        if (compares(gate.condition))
            if (auto kept = baseline_before(events, ends[n].start)) {
                look.baseline = kept->event;
                now.baseline = std::move(kept->facts);
            }
        look.truth = truth_of(gate, now);
    }
    std::vector<Look> looks;
    for (std::size_t n = 0; n < ends.size(); ++n) {
        std::optional<int> before;
        for (std::size_t k = 0; k < n; ++k)
            if (ends[k].flaps && ends[k].look.run == ends[n].look.run)
                before = ends[k].flaps;
        if (before && ends[n].flaps && *before != *ends[n].flaps) {
            // Rule: a move of a flap count counts as a look with that component unknown in between.
            Look between = ends[n].look;
            between.truth = Truth::unknown;
            between.moved = true;
            looks.push_back(between);
        }
        looks.push_back(ends[n].look);
    }
    return looks;
}

Said at_moment(const Gate& gate, std::size_t number, std::span<const Event> events,
               std::size_t seen, Time now, bool after_event, const Said& before) {
    const auto opening = opening_of(number, events, seen);
    if (!opening || before.retired)
        return before;
    const Time opened = events[*opening].at;
    const auto looks = looks_of(gate, number, events, seen, now);
    const int run = run_of(events, seen);
    const Event* event = after_event ? &events[seen - 1] : nullptr;
    const bool closed = event && event->what == Happening::closed && event->gate == number;

    Said said = now_of(gate, looks, run, now, before);
    said.verdict = before.verdict;
    said.decided = before.decided;

    const auto decide = [&](Verdict verdict, std::optional<Failure> failure) {
        said.verdict = verdict;
        said.failure = failure;
        said.decided = now;
    };
    // Rule: verdict is decided once.
    if (said.verdict == Verdict::pending) {
        bool met = false;
        // Rule: pass if met with b_n ≤ opened + D, the boundary counted.
        for (std::size_t n = 0; n < looks.size(); ++n)
            met = met || ((!gate.within || looks[n].answered <= opened + *gate.within) &&
                          met_at(gate, looks, n, false));
        if (closed)
            decide(Verdict::cancelled, std::nullopt);
        else if (met)
            decide(Verdict::pass, std::nullopt);
        // Rule: where the time between two runs cannot be known, pending deadlines fail as not
        // seen.
        else if (gate.within && event && event->what == Happening::run_started &&
                 !event->elapsed_known)
            decide(Verdict::fail, Failure::not_seen);
        else if (gate.within && !could_still(gate, opened, looks, run, now))
            decide(Verdict::fail, failure_of(gate, opened, looks, run, now));
    }
    // Rule: a gate is guarded after its pass until it retires: when deleted or after its guard
    // time.
    said.retired = said.verdict == Verdict::fail || said.verdict == Verdict::cancelled ||
                   (said.verdict == Verdict::pass &&
                    (closed || (gate.guard > 0 && now - *said.decided >= gate.guard)));
    if (said.verdict != Verdict::pass || said.retired)
        said.standing.reset();
    return said;
}

std::vector<Moment> judge(const Gate& gate, std::size_t number, const std::vector<Event>& events,
                          Time until) {
    std::vector<Moment> moments;
    Said said;
    const auto add = [&](std::size_t seen, Time now, bool after_event) {
        said = at_moment(gate, number, events, seen, now, after_event, said);
        moments.push_back({seen, now, said});
    };
    for (std::size_t k = 0; k < events.size(); ++k) {
        // Rule: first the due instants before the event, then the event, then those of its own
        // instant.
        if (k > 0)
            for (Time now = events[k - 1].at + 1; now < events[k].at; ++now)
                add(k, now, false);
        add(k + 1, events[k].at, true);
    }
    for (Time now = events.back().at + 1; now <= until; ++now)
        add(events.size(), now, false);
    return moments;
}

} // namespace slotwitness::oracle
