#include "witness.hpp"

#include "state.hpp"

namespace slotwitness::witness {

Witness::Witness() : state_(std::make_shared<State>()) {}
Witness::Witness(const Remembered& remembered) : state_(std::make_shared<State>(remembered)) {}

Outcome Witness::step(const Event& event) {
    if (state_.use_count() > 1)
        state_ = std::make_shared<State>(*state_);
    return state_->step(event);
}

std::optional<state::Problem> Witness::refusal(const GateOpened& gate) const {
    return state_->refusal(gate);
}

std::optional<state::Problem> Witness::refusal(const ProcedureOpened& procedure) const {
    return state_->refusal(procedure);
}

std::vector<UnrecordedLoss> Witness::lost() const {
    return state_->lost();
}

std::vector<std::string> Witness::wanted_askings() const {
    return state_->wanted_askings();
}

std::optional<BaselineFixed> Witness::baseline() const {
    const Baseline* baseline = state_->baseline();
    return baseline != nullptr ? std::optional(baseline->fixed) : std::nullopt;
}

bool Witness::baseline_wanted() const {
    return state_->baseline_wanted();
}

} // namespace slotwitness::witness
