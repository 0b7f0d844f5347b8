#include "state.hpp"

#include "refusal.hpp"

#include <algorithm>
#include <stdexcept>
#include <utility>

namespace slotwitness::witness {

namespace {

/// What only a defect of the caller can bring about is not judged at all.
void check(const Event& event) {
    if (const auto* answer = std::get_if<Answered>(&event.what)) {
        if (!answer->reading)
            throw std::logic_error("an answer came without its reading");
        if (answer->asked > event.at)
            throw std::logic_error("an answer came before its query was asked");
    }
    if (const auto* failed = std::get_if<Failed>(&event.what);
        failed != nullptr && failed->asked > event.at)
        throw std::logic_error("a query failed before it was asked");
}

} // namespace

State::State(const Remembered& remembered)
    : names_(remembered.gates.begin(), remembered.gates.end()) {
    for (const auto& [kind, names] : remembered.inventory)
        static_cast<void>(inventory_.fix(kind, {names.begin(), names.end()}));
    if (remembered.baseline)
        keep(remembered.baseline);
}

Outcome State::step(const Event& event) {
    if (now_ && event.at < *now_)
        throw std::logic_error("an event came before one that is already judged");
    check(event);
    // Due instants before the event, the event, those at its instant: an answer comes before a
    // tick.
    while (const auto instant = due()) {
        if (*instant >= event.at)
            break;
        // What is done at one instant can show that something else was due before it.
        now_ = now_ ? std::max(*now_, *instant) : *instant;
        reach(*now_);
        settle(*now_);
    }
    drop_retired(); // the event changes nothing of what was decided before it
    now_ = event.at;
    std::visit([&](const auto& what) { happen(event.at, what); }, event.what);
    settle(event.at);
    while (const auto instant = due()) {
        if (*instant > event.at)
            break;
        reach(event.at);
        settle(event.at);
    }
    drop_retired();
    return {std::exchange(findings_, {}), due()};
}

void State::happen(Instant at, const RunStarted& event) {
    abandon_round("The daemon was started again before the round was answered.");
    cut_ = event.cut ? std::optional(Round{event.cut->round, at, event.cut->askings, {}})
                     : std::nullopt;
    listed_.clear();
    serial_.reset();
    leading_.clear();
    address_.clear();
    inventory_.state(event.inventory);
    peak_load_ = event.peak_load;
    for (auto& [id, gate] : gates_)
        change(gate, [&](Gate& each) { each.restart(at, event.elapsed_known); });
    for (auto& [id, course] : courses_) {
        course.restart(event.elapsed_known);
        for (const UnrecordedLoss& loss : event.lost)
            if (loss.procedure == id)
                course.lose(loss);
    }
}

void State::happen(Instant at, const RoundStarted& event) {
    abandon_round("The next round of queries began before this one was answered.");
    round_ = Round{event.round, at, event.askings, {}};
    cut_.reset();
}

void State::happen(Instant at, const Answered& event) {
    if (expects(round_, event.round, event.asking)) {
        learn(event);
        learn_serial(event);
        learn_leading(event);
    }
    report(event.round, event.asking, {event.asked, at, heard_from(event)});
}

void State::happen(Instant at, const Failed& event) {
    report(event.round, event.asking,
           {event.asked, at, Silent{event.asking, event.why, event.remark}});
}

void State::happen(Instant at, const GateOpened& event) {
    if (auto problem = refusal(event)) {
        findings_.emplace_back(GateRefused{event.id, std::move(*problem)});
        return;
    }
    open(at, event, std::move(*admitted(event)));
}

void State::open(Instant at, const GateOpened& event, sentences::Sentence sentence) {
    const auto [gate, opened] = gates_.try_emplace(event.id, event, std::move(sentence), at);
    names_.insert(event.id);
    findings_.emplace_back(gate->second.finding());
}

void State::happen(Instant at, const GateClosed& event) {
    for (const auto& [id, course] : courses_)
        if (course.owns(event.id)) {
            findings_.emplace_back(ProcedureRefused{
                id,
                {"gate",
                 {},
                 event.id,
                 "a gate that no procedure holds",
                 "It is the procedure's: close the procedure, or skip its step."}});
            return;
        }
    if (const auto gate = gates_.find(event.id); gate != gates_.end())
        change(gate->second, [&](Gate& each) { each.close(at, event.by); });
}

void State::happen(Instant at, const BaselineWanted& event) {
    baseline_wish_ = Wish{at, event};
}

/// What is due is done at its own instant, whether or not a tick comes.
void State::happen(Instant, const Tick&) {}

/// Whole and wholly read answers that list a kind tell what there is of it.
void State::learn(const Answered& answer) {
    if (!answer.ending.whole() || !answer.reading->whole || !answer.reading->wholly_read())
        return;
    for (const state::Kind kind : answer.reading->lists) {
        std::set<std::string> there;
        for (const state::Row& row : answer.reading->rows)
            if (row.kind == kind)
                there.insert(row.name);
        if (inventory_.fix(kind, {there.begin(), there.end()}))
            findings_.emplace_back(InventoryFixed{kind, {there.begin(), there.end()}});
        listed_[kind] = std::move(there);
    }
}

void State::keep(std::shared_ptr<const Baseline> baseline) {
    baseline_ = std::move(baseline);
    inventory_.keep(baseline_->inventory());
}

std::optional<Instant> State::due() const {
    std::optional<Instant> earliest;
    const auto consider = [&earliest](Instant at) {
        if (!earliest || at < *earliest)
            earliest = at;
    };
    for (const auto& [id, gate] : gates_) {
        if (const auto at = gate.due())
            consider(*at);
        if (round_ && gate.awaits(round_->begun()))
            consider(overdue_at(gate));
    }
    for (const auto& [id, course] : courses_)
        if (const auto at = course.due())
            consider(*at);
    return earliest;
}

void State::reach(Instant now) {
    miss_overdue(now);
    for (auto& [id, gate] : gates_)
        change(gate, [now](Gate& each) { each.reach(now); });
    for (auto& [id, course] : courses_)
        course.reach(now);
}

tl::expected<sentences::Sentence, state::Problem> State::admitted(const GateOpened& gate) const {
    return admit(gate, {inventory_, listed_});
}

std::optional<state::Problem> State::refusal(const GateOpened& gate) const {
    if (names_.contains(gate.id))
        return state::Problem{"gate",
                              {},
                              gate.id,
                              "a name that no gate has yet",
                              "Open it under another name, or ask for the gate that has this one."};
    if (auto sentence = admitted(gate); !sentence)
        return std::move(sentence.error());
    return std::nullopt;
}

std::vector<std::string> State::wanted_askings() const {
    std::set<std::string> wanted;
    for (const auto& [id, gate] : gates_)
        wanted.insert(gate.opening().askings.begin(), gate.opening().askings.end());
    for (const auto& [id, course] : courses_)
        for (const std::string& asking : course.wanted_askings())
            wanted.insert(asking);
    if (baseline_wish_)
        wanted.insert(baseline_wish_->what.askings.begin(), baseline_wish_->what.askings.end());
    return {wanted.begin(), wanted.end()};
}

void State::drop_retired() {
    std::erase_if(gates_, [](const auto& entry) { return !entry.second.live(); });
    std::erase_if(courses_, [](const auto& entry) { return !entry.second.is_open(); });
}

} // namespace slotwitness::witness
