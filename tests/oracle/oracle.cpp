#include "oracle.hpp"

#include <algorithm>
#include <map>

namespace slotwitness::oracle {
namespace {

using Facts = std::map<Asking, Reported>;

/// The condition over the facts; those of answers that are not whole count only if `cut_ones_too`.
Truth evaluate(const Condition& condition, const Facts& facts, bool cut_ones_too) {
    const auto part = [&](std::size_t n) {
        return evaluate(condition.parts.at(n), facts, cut_ones_too);
    };
    switch (condition.shape) {
    case Condition::Shape::fact: {
        // Rule: a failed query makes its facts unknown.
        const auto found = facts.find(condition.asking);
        if (found == facts.end() || (!found->second.whole && !cut_ones_too))
            return Truth::unknown;
        return found->second.fact;
    }
    case Condition::Shape::negation:
        return kleene_not(part(0));
    case Condition::Shape::conjunction:
        return kleene_and(part(0), part(1));
    case Condition::Shape::disjunction:
        return kleene_or(part(0), part(1));
    }
    return Truth::unknown;
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
            facts[event.asking] = {event.fact, event.whole};
            if (event.flaps && event.whole)
                flaps = event.flaps;
        }
        if (ended < gate.needs.size())
            continue;
        look.answered = look.known = event.at;
        // Rule: a round with no answer is missed.
        look.missed = facts.empty();
        look.truth = look.missed ? Truth::unknown : truth_of(gate.condition, facts);
        return RoundEnd{k, look, flaps};
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
            return RoundEnd{k, look, std::nullopt};
        }
    if (cut == seen)
        return std::nullopt;
    // One that a restart or the next round cut off brought no answer either.
    look.known = events[cut].at;
    look.cut_off = true;
    return RoundEnd{cut, look, std::nullopt};
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
    const Truth t0 = evaluate(condition, facts, false);
    if (t0 != Truth::unknown)
        return t0;
    return evaluate(condition, facts, true) == Truth::no ? Truth::no : Truth::unknown;
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
