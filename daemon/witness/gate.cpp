#include "gate.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::witness {

using namespace std::chrono_literals;

namespace {

bool compares(const sentences::Condition& condition) {
    const auto any = [](const std::vector<sentences::Condition>& operands) {
        return std::any_of(operands.begin(), operands.end(), compares);
    };
    struct {
        decltype(any)& any_of;
        bool operator()(const sentences::Earlier& node) const {
            return !std::holds_alternative<sentences::ErrorsNotRising>(node.comparison);
        }
        bool operator()(const sentences::Not& node) const { return any_of(node.operand); }
        bool operator()(const sentences::And& node) const { return any_of(node.operands); }
        bool operator()(const sentences::Or& node) const { return any_of(node.operands); }
        bool operator()(const sentences::OneIs&) const { return false; }
        bool operator()(const sentences::EveryIs&) const { return false; }
        bool operator()(const sentences::CountIs&) const { return false; }
        bool operator()(const sentences::NoAlarm&) const { return false; }
        bool operator()(const sentences::CapacityCovers&) const { return false; }
    } const visitor{any};
    return std::visit(visitor, condition.node);
}

} // namespace

Gate::Gate(GateOpened opening, sentences::Sentence sentence, Instant opened)
    : opening_(std::move(opening)), sentence_(std::move(sentence)),
      compares_(compares(sentence_.condition)) {
    finding_.id = opening_.id;
    finding_.sentence = opening_.sentence;
    finding_.because = {
        Reason::not_looked_yet, "Nothing has been looked at since the gate was opened.", {}};
    finding_.opened = opened;
    if (sentence_.within)
        finding_.deadline = opened + *sentence_.within;
    finding_.needs = sentence_.hold.value_or(0ms);
    finding_.valid_until = opened + opening_.gap;
}

bool Gate::may_look(const RoundBegun& round) const {
    return live() && last_round_ != round.number &&
           std::all_of(opening_.askings.begin(), opening_.askings.end(),
                       [&](const std::string& asking) {
                           return std::find(round.askings.begin(), round.askings.end(), asking) !=
                                  round.askings.end();
                       });
}

bool Gate::awaits(const RoundBegun& round) const {
    return round.started >= finding_.opened && may_look(round);
}

void Gate::look(RoundNumber round, Look look, Grounds grounds) {
    last_round_ = round;
    grounds.counters = &counters_;
    grounds.shown_since = look.asked - opening_.refresh;
    Evaluation evaluation = evaluate(sentence_.condition, grounds);
    counters_.keep(grounds.view, evaluation.counted, look.answered);
    const Signs::Step signs = signs_.step(grounds.view, evaluation.read, look, opening_.refresh);
    const RoundNumber baseline = grounds.baseline != nullptr ? grounds.baseline->fixed.round : 0;
    const bool rebased = compares_ && std::exchange(baseline_, baseline) != baseline;
    const Truth truth = evaluation.judgement.truth;

    Broken broken = Broken::no;
    if (truth != Truth::yes) {
        run_.end();
    } else {
        if (run_.open() && signs.moved)
            broken = Broken::moved;
        else if (run_.open() && rebased)
            broken = Broken::rebased;
        else if (run_.gap_before(look.answered, opening_.gap))
            broken = Broken::gap;
        if (broken != Broken::no)
            run_.end();
        run_.extend(look.asked, look.answered);
    }
    if (truth == Truth::no) {
        if (signs.moved) // in between it was not known to be false
            hope(look, true);
        seen_false_ = true;
        hopeful_.end();
    } else {
        hope(look, true);
    }

    finding_.truth = truth;
    finding_.because = std::move(evaluation.judgement.because);
    finding_.last_look = look;
    finding_.valid_until = look.answered + opening_.gap;
    finding_.held = run_.held(look.asked, opening_.refresh);
    const bool met = truth == Truth::yes && run_.met(look.asked, needs(), opening_.refresh);
    if (truth == Truth::yes)
        say_holding(look, met, broken, signs.all_tell);

    if (finding_.verdict == Verdict::pass)
        stand(truth, met);
    else if (met && (!finding_.deadline || look.answered <= *finding_.deadline))
        pass(look.answered);
}

void Gate::unanswered(RoundNumber round, Look look, std::string_view why) {
    hope(look, true);
    miss(round, why);
}

void Gate::overdue(const RoundBegun& round, std::string_view why) {
    hope({round.started, round.started}, false);
    miss(round.number, why);
}

/// One more look that is not false, in the hopeful world. A look that was never answered is taken
/// as answered the moment its round began, in time for its neighbours.
void Gate::hope(Look look, bool gap_counts) {
    if (gap_counts) {
        if (hopeful_.gap_before(look.answered, opening_.gap))
            hopeful_.end();
        hopeful_.extend(look.asked, look.answered);
    } else {
        hopeful_.extend_unanswered(look.asked);
    }
    if (hopeful_.met(look.asked, needs(), opening_.refresh) && finding_.deadline &&
        look.answered <= *finding_.deadline)
        hopeful_passed_ = true;
}

void Gate::miss(RoundNumber round, std::string_view why) {
    last_round_ = round;
    run_.end();
    finding_.held = 0ms;
    finding_.because = {Reason::missed_look, std::string(why), {}};
}

void Gate::restart(Instant at, bool elapsed_known) {
    run_.end();
    hopeful_.end();
    signs_.forget();
    counters_.forget();
    finding_.truth = Truth::unknown;
    finding_.held = 0ms;
    finding_.because = {Reason::not_looked_yet,
                        "Nothing has been looked at since the daemon was started again" +
                            std::string(needs() > 0ms ? "; the hold starts again." : "."),
                        {}};
    take_back();
    if (!elapsed_known && finding_.verdict == Verdict::pending && finding_.deadline)
        fail(at, Failure::not_seen, Reason::time_unknown,
             "How long the daemon was stopped cannot be known, so the deadline counts as passed.");
}

void Gate::close(Instant at, std::string_view by) {
    if (finding_.verdict == Verdict::pending) {
        finding_.verdict = Verdict::cancelled;
        finding_.decided = at;
        finding_.because = {Reason::cancelled, "Cancelled by " + std::string(by) + ".", {}};
    }
    retire();
}

void Gate::pass(Instant at) {
    finding_.verdict = Verdict::pass;
    finding_.standing = Standing::met;
    finding_.decided = at;
    finding_.guarded = true;
}

void Gate::retire() {
    finding_.retired = true;
    finding_.guarded = false;
    finding_.standing.reset();
}

/// A look that tells neither true nor false takes confidence back and raises no alarm; nor does it
/// call an alarm off.
void Gate::stand(Truth truth, bool met) {
    switch (truth) {
    case Truth::yes:
        finding_.standing = met ? Standing::met : Standing::settling;
        break;
    case Truth::unknown:
        take_back();
        break;
    case Truth::no:
        finding_.standing = Standing::lost;
        break;
    }
}

void Gate::take_back() {
    if (finding_.standing && *finding_.standing != Standing::lost)
        finding_.standing = Standing::unseen;
}

std::optional<Instant> Gate::due() const {
    std::optional<Instant> earliest;
    for (const auto& each : {fails_at(), lapses_at(), retires_at()})
        if (each && (!earliest || *each < *earliest))
            earliest = each;
    return earliest;
}

void Gate::reach(Instant now) {
    const auto reached = [now](const std::optional<Instant>& due) { return due && *due <= now; };
    if (reached(fails_at()))
        fail(now, failure(now), Reason::deadline_passed,
             "No later look can meet it by " + units::to_rfc3339(*finding_.deadline) + ".");
    if (reached(lapses_at())) {
        finding_.truth = Truth::unknown;
        finding_.held = 0ms;
        finding_.because = {Reason::gap,
                            "No look was answered for longer than " + units::to_text(opening_.gap) +
                                "; the last one was at " +
                                units::to_rfc3339(finding_.last_look->answered) + ".",
                            {}};
        if (finding_.standing)
            finding_.standing = Standing::unseen;
    }
    if (reached(retires_at()))
        retire();
}

/// The first instant at which no later look could meet it.
std::optional<Instant> Gate::fails_at() const {
    if (finding_.verdict != Verdict::pending || !finding_.deadline)
        return std::nullopt;
    const Instant at_latest = *finding_.deadline + 1ms;
    if (needs() == 0ms)
        return at_latest;
    const Instant too_late =
        latest_start() + 1ms; // a run that begins then, or later, cannot meet it
    const auto continues = run_.continues_until(opening_.gap);
    if (!continues || *run_.began(*continues, opening_.gap) >= too_late)
        return too_late;
    return std::min(at_latest, std::max(too_late, *continues + 1ms));
}

/// When the last look grows too old to be shown as it stands.
std::optional<Instant> Gate::lapses_at() const {
    const bool shows = finding_.truth != Truth::unknown ||
                       (finding_.standing && *finding_.standing != Standing::unseen);
    if (!live() || !finding_.last_look || !shows)
        return std::nullopt;
    return finding_.valid_until + 1ms;
}

std::optional<Instant> Gate::retires_at() const {
    if (!finding_.guarded || opening_.guard == 0ms)
        return std::nullopt;
    return *finding_.decided + opening_.guard;
}

Failure Gate::failure(Instant at) const {
    // Nothing may be called seen false that no look saw false: then there were too few looks.
    if (!seen_false_ || hopeful_passed_)
        return Failure::not_seen;
    if (needs() == 0ms)
        return Failure::seen_false;
    const bool still_could = hopeful_.began(at, opening_.gap).value_or(at) <= latest_start();
    return still_could ? Failure::not_seen : Failure::seen_false;
}

void Gate::fail(Instant at, Failure failure, Reason reason, std::string_view text) {
    finding_.verdict = Verdict::fail;
    finding_.failure = failure;
    finding_.decided = at;
    finding_.because.reason = reason;
    (finding_.because.text += ' ') += text;
    retire();
}

} // namespace slotwitness::witness
