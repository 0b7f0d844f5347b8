#include "state.hpp"

#include <algorithm>
#include <utility>

// A round of queries: its reports come one by one, each look is judged as its last one comes, and
// the round ends answered, overdue or abandoned.
namespace slotwitness::witness {

using namespace std::chrono_literals;

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

} // namespace slotwitness::witness
