#include "course.hpp"

#include <algorithm>
#include <set>
#include <utility>

namespace slotwitness::witness {

namespace {

/// The effect is seen as soon as the device's tables are renewed: something is listed, or is not.
bool is_presence(const std::optional<SentencePlan>& effect) {
    if (!effect)
        return false;
    const auto sentence = sentences::parse(effect->sentence);
    if (!sentence || sentence->hold)
        return false;
    const auto* one = std::get_if<sentences::OneIs>(&sentence->condition.node);
    const auto* trade = one ? std::get_if<sentences::Trade>(&one->predicate) : nullptr;
    return trade && (*trade == sentences::Trade::present || *trade == sentences::Trade::absent);
}

/// From the old part's leaving to the tray's return. Nothing if a step was never rehearsed.
std::optional<Duration> time_to_put_back(const ProcedureOpened& opening) {
    if (!opening.cooling || opening.cooling->out.empty())
        return std::nullopt;
    if (opening.cooling->takes)
        return opening.cooling->takes;
    Duration sum{0};
    bool counts = false;
    for (const StepPlan& step : opening.steps) {
        if (counts) {
            if (!step.takes)
                return std::nullopt;
            sum += *step.takes;
        }
        if (step.name == opening.cooling->ends)
            return sum;
        counts = counts || step.name == opening.cooling->out;
    }
    return std::nullopt;
}

} // namespace

Course::Course(ProcedureOpened opening, std::vector<sentences::Condition> rules, Instant at)
    : opening_(std::make_shared<const ProcedureOpened>(std::move(opening))),
      right_chassis_(opening_->id),
      codes_(std::make_shared<const readback::CodeBook>(code_book(*opening_))),
      told_chassis_(right_chassis_.finding()) {
    finding_.id = opening_->id;
    finding_.title = opening_->title;
    finding_.opened = at;
    finding_.in_charge = opening_->by;
    const auto take = [this](const std::vector<StepPlan>& plans, Steps& steps) {
        for (const StepPlan& plan : plans) {
            Step& step =
                steps.emplace_back(Step{&plan, {}, false, false, is_presence(plan.effect), 1});
            step.finding.procedure = opening_->id;
            step.finding.name = plan.name;
        }
    };
    take(opening_->steps, forward_);
    take(opening_->back_out, back_);
    for (std::size_t i = 0; i < opening_->rules.size(); ++i)
        rules_.emplace_back(opening_->id, opening_->rules[i], std::move(rules.at(i)));
    if (opening_->cooling)
        cooling_.emplace(opening_->id, *opening_->cooling, time_to_put_back(*opening_), at);
    if (opening_->whole.empty())
        return;
    handback_.emplace(opening_->id, opening_->handback, opening_->by);
    if (const WorkPlan& work = opening_->handback.work; work.slot && work.work != Work::look_only)
        right_part_.emplace(opening_->id, work);
}

std::vector<std::string> Course::wanted_askings() const {
    std::set<std::string> wanted(opening_->whole.begin(), opening_->whole.end());
    for (const Rule& rule : rules_)
        wanted.insert(rule.plan().holds.askings.begin(), rule.plan().holds.askings.end());
    if (cooling_)
        wanted.insert(cooling_->plan().back.askings.begin(), cooling_->plan().back.askings.end());
    return {wanted.begin(), wanted.end()};
}

template <class Self>
auto Course::current_of(Self& self) -> decltype(self.forward_.data()) {
    auto& steps = self.finding_.phase == Phase::forward ? self.forward_ : self.back_;
    return self.is_open() && self.at_ < steps.size() ? &steps[self.at_] : nullptr;
}

Course::Step* Course::current() {
    return current_of(*this);
}

const Course::Step* Course::current() const {
    return current_of(*this);
}

const GateFinding* Course::gate(const std::string& id) const {
    const auto found = gates_.find(id);
    return found == gates_.end() ? nullptr : &found->second;
}

void Course::saw(const GateFinding& gate) {
    GateFinding& known = gates_[gate.id];
    const bool decided = known.verdict != gate.verdict;
    known = gate;
    for (Steps* steps : {&forward_, &back_})
        for (Step& step : *steps) {
            if (decided && (step.finding.fact == gate.id || step.finding.effect == gate.id))
                mark(step);
            if (step.finding.fact != gate.id || !step.is_guarded)
                continue;
            if (gate.standing == Standing::lost && !step.finding.lost && !step.finding.accepted) {
                step.finding.lost = true;
                mark(step);
            }
            if (gate.standing == Standing::met)
                step.finding.accepted = false;
            if (gate.standing == Standing::lost || gate.standing == Standing::met)
                step.met_since_lost = gate.standing == Standing::met;
        }
}

void Course::keep(const std::shared_ptr<const Baseline>& baseline) {
    const bool touched = std::any_of(forward_.begin(), forward_.end(), [](const Step& step) {
        return step.finding.released.has_value();
    });
    if (touched)
        return;
    if (handback_)
        handback_->keep(baseline);
    if (right_part_)
        right_part_->keep(*baseline);
}

std::optional<Instant> Course::ended() const {
    if (current())
        return std::nullopt;
    Instant last = finding_.opened; // the way back may have no step
    for (const Steps* steps : {&forward_, &back_})
        for (const Step& step : *steps)
            if (step.finding.ended)
                last = std::max(last, *step.finding.ended);
    return last;
}

void Course::look_at_whole(Look look, const View& view) {
    if (right_part_ && is_open())
        right_part_->look(view);
    if (handback_ && is_open())
        handback_->look(look, view, ended(),
                        finding_.phase == Phase::backing_out ? Way::back : Way::forward);
}

void Course::could_not_open(const std::string& gate, const state::Problem& problem) {
    not_opened_[gate] = state::to_text(problem);
    gates_.erase(gate); // whatever has that name is somebody else's
}

void Course::restart(bool elapsed_known) {
    for (Rule& rule : rules_)
        rule.restart();
    right_chassis_.report(std::nullopt);
    if (cooling_ && !elapsed_known)
        cooling_->lose_time();
    if (handback_)
        handback_->restart();
}

std::vector<UnrecordedLoss> Course::lost() const {
    std::vector<UnrecordedLoss> lost;
    for (const Rule& rule : rules_)
        if (rule.finding().lost)
            lost.push_back({opening_->id, StopAnswered::Of::rule, rule.plan().name});
    for (const Steps* steps : {&forward_, &back_})
        for (const Step& step : *steps)
            if (step.finding.lost)
                lost.push_back({opening_->id, StopAnswered::Of::step, step.plan->name});
    return lost;
}

void Course::lose(const UnrecordedLoss& loss) {
    if (loss.of == StopAnswered::Of::rule) {
        for (Rule& rule : rules_)
            if (rule.plan().name == loss.name)
                rule.lose();
        return;
    }
    for (Steps* steps : {&forward_, &back_})
        for (Step& step : *steps)
            if (step.plan->name == loss.name) {
                step.met_since_lost = false;
                if (step.finding.lost)
                    continue;
                step.finding.lost = true;
                step.finding.accepted = false;
                mark(step);
            }
}

std::optional<Instant> Course::due() const {
    std::optional<Instant> earliest;
    const auto consider = [&earliest](const std::optional<Instant>& at) {
        if (at && (!earliest || *at < *earliest))
            earliest = at;
    };
    if (!is_open())
        return earliest;
    if (const Step* step = current())
        consider(step->finding.undo_until);
    for (const Rule& rule : rules_)
        consider(rule.due());
    if (cooling_)
        consider(cooling_->due());
    if (handback_)
        consider(handback_->due());
    return earliest;
}

void Course::reach(Instant now) {
    for (Rule& rule : rules_)
        rule.reach(now);
    if (cooling_)
        cooling_->reach(now);
    if (handback_ && is_open())
        handback_->reach(now);
}

std::vector<Finding> Course::news() {
    std::vector<Finding> news;
    const Step* step = current();
    finding_.step = step ? step->plan->name : "";
    Told told = tell();
    finding_.word = told.word;
    finding_.text = std::move(told.text);
    finding_.advice = std::move(told.advice);
    finding_.valid_until = told.valid_until;
    finding_.code = std::move(told.code);
    for (const Steps* steps : {&forward_, &back_})
        for (const Step& each : *steps)
            if (steps == &back_ && finding_.phase == Phase::forward)
                break;
            else if (const auto [at, is_new] =
                         told_steps_.try_emplace(each.plan->name, each.finding);
                     is_new || at->second != each.finding)
                news.emplace_back(at->second = each.finding);
    for (const Rule& rule : rules_)
        if (const auto [at, is_new] = told_rules_.try_emplace(rule.plan().name, rule.finding());
            is_new || at->second != rule.finding())
            news.emplace_back(at->second = rule.finding());
    if (cooling_ && told_cooling_ != cooling_->finding())
        news.emplace_back(*(told_cooling_ = cooling_->finding()));
    if (told_chassis_ != right_chassis_.finding())
        news.emplace_back(told_chassis_ = right_chassis_.finding());
    if (right_part_ && told_part_ != right_part_->finding())
        news.emplace_back(*(told_part_ = right_part_->finding()));
    if (handback_ && told_handback_ != handback_->finding()) {
        if (!told_handback_ || *told_handback_ != *handback_->finding())
            news.emplace_back(*handback_->finding());
        told_handback_ = handback_->finding();
    }
    if (told_ != finding_)
        news.emplace_back(*(told_ = finding_));
    return news;
}

} // namespace slotwitness::witness
