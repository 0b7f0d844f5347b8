#include "state.hpp"

#include "refusal.hpp"

#include <algorithm>
#include <stdexcept>
#include <utility>

namespace slotwitness::witness {

using namespace std::chrono_literals;

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

/// The first report of each query of the round under way counts; those of a round that is over do
/// not.
bool State::expects(const std::optional<Round>& under_way, RoundNumber round,
                    const std::string& asking) {
    return under_way && under_way->number == round && !under_way->reports.contains(asking) &&
           std::find(under_way->askings.begin(), under_way->askings.end(), asking) !=
               under_way->askings.end();
}

void State::report(RoundNumber round, const std::string& asking, Report report) {
    if (expects(cut_, round, asking)) {
        cut_->reports.emplace(asking, std::move(report));
        judge_rules(*cut_, asking, false);
        return;
    }
    if (!expects(round_, round, asking))
        return;
    const Instant report_at = report.at;
    miss_overdue(report_at); // what comes at the instant at which it is overdue comes too late
    round_->reports.emplace(asking, std::move(report));
    judge_looks(asking);
    judge_rules(*round_, asking, true);
    judge_cooling(asking);
    if (round_->reports.size() == round_->askings.size()) {
        fix_baseline(report_at);
        compare_whole();
        round_.reset();
    }
}

/// Whole and wholly read answers that list a kind tell what there is of it.
void State::learn(const Answered& answer) {
    if (!answer.ending.whole() || !answer.reading->whole || !answer.reading->wholly_read())
        return;
    for (const state::Kind kind : answer.reading->lists) {
        std::vector<std::string> names;
        for (const state::Row& row : answer.reading->rows)
            if (row.kind == kind)
                names.push_back(row.name);
        Inventory::Names there(names.begin(), names.end());
        if (inventory_.fix(kind, there))
            findings_.emplace_back(InventoryFixed{kind, {there.begin(), there.end()}});
        listed_[kind] = std::move(there);
    }
}

std::optional<State::Gathered>
State::gather(const Round& round, const std::vector<std::string>& askings, Instant since) {
    std::optional<Gathered> gathered;
    std::vector<std::string> missing;
    for (const std::string& key : askings) {
        const auto found = round.reports.find(key);
        if (found == round.reports.end() || found->second.asked < since) {
            missing.push_back(key);
            continue;
        }
        const Report& report = found->second;
        if (!gathered)
            gathered = Gathered{{}, {}, {report.asked, report.at}, {}};
        gathered->look.asked = std::min(gathered->look.asked, report.asked);
        gathered->look.answered = std::max(gathered->look.answered, report.at);
        if (const auto* answer = std::get_if<Heard>(&report.what))
            gathered->heard.push_back(*answer);
        else
            gathered->silent.push_back(std::get<Silent>(report.what));
    }
    if (gathered)
        gathered->missing = std::move(missing);
    return gathered;
}

/// Judges the gates whose look this report completes.
void State::judge_looks(const std::string& asking) {
    RoundMissed missed{round_->number, {}, {}};
    std::map<std::vector<std::string>, View> views; // gates that ask the same share one
    for (auto& [id, gate] : gates_) {
        const auto& askings = gate.opening().askings;
        if (std::find(askings.begin(), askings.end(), asking) == askings.end() ||
            !gate.may_look(round_->begun()))
            continue;
        auto gathered = gather(*round_, askings, gate.finding().opened);
        if (!gathered || !gathered->missing.empty())
            continue;
        const Look look = gathered->look;
        if (gathered->heard.empty()) {
            const Silent& first = gathered->silent.front();
            missed.gates.push_back(id);
            missed.text = "The device gave no answer to \"" + first.asking + "\": " +
                          (first.remark.empty() ? std::string(to_word(first.why)) : first.remark) +
                          ".";
            change(gate, [&](Gate& each) { each.unanswered(round_->number, look, missed.text); });
            continue;
        }
        const auto view =
            views.try_emplace(askings, std::move(gathered->heard), std::move(gathered->silent))
                .first;
        change(gate, [&](Gate& each) { each.look(round_->number, look, grounds(view->second)); });
    }
    if (!missed.gates.empty())
        findings_.emplace_back(std::move(missed));
}

/// The round under way is over: it becomes the baseline that is wanted if it asked all of it in
/// time and every answer is whole. Its looks were judged by the baseline before.

void State::fix_baseline(Instant at) {
    if (!baseline_wish_)
        return;
    BaselineFixed fixed{round_->number, at, {}, baseline_wish_->what.by};
    std::vector<Heard> answers;
    const auto& askings = baseline_wish_->what.askings;
    for (const std::string& asking : std::set<std::string>(askings.begin(), askings.end())) {
        const auto found = round_->reports.find(asking);
        if (found == round_->reports.end() || found->second.asked < baseline_wish_->at)
            return;
        const auto* heard = std::get_if<Heard>(&found->second.what);
        if (heard == nullptr || !heard->whole)
            return;
        fixed.captures.emplace(asking, heard->capture);
        answers.push_back(*heard);
    }
    keep(std::make_shared<const Baseline>(std::move(fixed), std::move(answers)));
    findings_.emplace_back(baseline_->fixed);
    for (auto& [id, course] : courses_)
        course.keep(baseline_);
    baseline_wish_.reset();
}

void State::keep(std::shared_ptr<const Baseline> baseline) {
    baseline_ = std::move(baseline);
    inventory_.keep(baseline_->inventory());
}

/// The round under way will not be answered any more.
void State::abandon_round(const std::string& why) {
    if (!round_)
        return;
    RoundMissed missed{round_->number, {}, why};
    const RoundBegun begun = round_->begun();
    for (auto& [id, gate] : gates_)
        if (gate.awaits(begun)) {
            missed.gates.push_back(id);
            change(gate, [&](Gate& each) { each.overdue(begun, why); });
        }
    if (!missed.gates.empty())
        findings_.emplace_back(std::move(missed));
    round_.reset();
}

Instant State::overdue_at(const Gate& gate) const {
    return round_->started + gate.opening().gap + 1ms;
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

void State::miss_overdue(Instant now) {
    if (!round_)
        return;
    RoundMissed missed{
        round_->number, {}, "The round of queries is overdue: it was not answered in time."};
    for (auto& [id, gate] : gates_)
        if (gate.awaits(round_->begun()) && overdue_at(gate) <= now) {
            missed.gates.push_back(id);
            change(gate, [&](Gate& each) { each.overdue(round_->begun(), missed.text); });
        }
    if (!missed.gates.empty())
        findings_.emplace_back(std::move(missed));
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
