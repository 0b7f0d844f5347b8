#include "rule.hpp"

#include <utility>

namespace slotwitness::witness {

using namespace std::chrono_literals;

Rule::Rule(const std::string& procedure, RulePlan plan, sentences::Condition holds)
    : plan_(std::move(plan)), holds_(std::move(holds)) {
    finding_.procedure = procedure;
    finding_.name = plan_.name;
}

void Rule::begin(Instant at) {
    since_ = at;
    finding_.active = true;
    finding_.because = {
        Reason::not_looked_yet, "Nothing has been looked at since the rule began to apply.", {}};
}

void Rule::end() {
    since_.reset();
    signs_.forget();
    counters_.forget();
    finding_.active = false;
    finding_.valid_until.reset();
}

void Rule::look(Look look, bool confirms, Grounds grounds) {
    grounds.counters = &counters_;
    grounds.shown_since = look.asked - plan_.holds.refresh;
    Evaluation evaluation = evaluate(holds_, grounds);
    Truth truth = evaluation.judgement.truth;
    if (!confirms && truth != Truth::no)
        return;
    if (confirms)
        counters_.keep(grounds.view, evaluation.counted, look.answered);
    if (confirms && signs_.step(grounds.view, evaluation.read, look, plan_.holds.refresh).moved &&
        truth == Truth::yes) {
        truth = Truth::unknown;
        evaluation.judgement.because.reason = Reason::state_moved;
        evaluation.judgement.because.text +=
            " But the device reports that it changed between two looks.";
    }
    finding_.truth = truth;
    finding_.because = std::move(evaluation.judgement.because);
    finding_.last_look = look;
    finding_.valid_until = look.answered + plan_.holds.gap;
    if (truth == Truth::no && !finding_.accepted)
        finding_.lost = true;
    if (truth == Truth::yes)
        finding_.accepted = false;
    if (truth != Truth::unknown)
        true_since_lost_ = truth == Truth::yes;
}

bool Rule::answer(std::string_view by, std::string_view reason) {
    if (!finding_.lost)
        return false;
    finding_.lost = false;
    finding_.accepted = !true_since_lost_;
    finding_.answered_by = by;
    finding_.answer = reason;
    return true;
}

void Rule::restart() {
    signs_.forget();
    counters_.forget();
    if (!finding_.active)
        return;
    finding_.truth = Truth::unknown;
    finding_.valid_until.reset();
    finding_.because = {Reason::not_looked_yet,
                        "Nothing has been looked at since the daemon was started again.",
                        {}};
}

void Rule::lose() {
    true_since_lost_ = false;
    if (finding_.lost)
        return;
    finding_.lost = true;
    finding_.accepted = false;
    finding_.because = {Reason::not_looked_yet,
                        "It was seen to be lost while the journal could not take the answer.",
                        {}};
}

std::optional<Instant> Rule::due() const {
    if (!finding_.valid_until || finding_.truth == Truth::unknown)
        return std::nullopt;
    return *finding_.valid_until + 1ms;
}

void Rule::reach(Instant now) {
    if (const auto lapses = due(); !lapses || *lapses > now)
        return;
    finding_.truth = Truth::unknown;
    finding_.because = {Reason::gap,
                        "No look was answered for longer than " + units::to_text(plan_.holds.gap) +
                            "; the last one was at " +
                            units::to_rfc3339(finding_.last_look->answered) + ".",
                        {}};
}

} // namespace slotwitness::witness
