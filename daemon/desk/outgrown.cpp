#include "outgrown.hpp"

#include "plan.hpp"

#include <slotwitness/profiles/profile.hpp>

#include <algorithm>

namespace slotwitness::desk {

namespace {

class Comparison {
  public:
    explicit Comparison(const ChassisSettings& settings) : settings_(settings) {}

    /// No further query is needed, and no answer may be older.
    [[nodiscard]] bool holds(const std::string& text, const std::vector<std::string>& askings,
                             units::Duration refresh) const {
        const auto sentence = sentences::parse(text);
        if (!sentence)
            return false;
        const auto now = plan_sentence(settings_, *sentence, std::nullopt);
        return now && now->refresh <= refresh && std::ranges::includes(askings, now->askings);
    }
    [[nodiscard]] bool holds(const witness::SentencePlan& then) const {
        return holds(then.sentence, then.askings, then.refresh);
    }
    [[nodiscard]] bool holds(const std::vector<witness::StepPlan>& steps) const {
        return std::ranges::all_of(steps, [&](const witness::StepPlan& step) {
            return holds(step.fact) && (!step.effect || holds(*step.effect));
        });
    }
    [[nodiscard]] bool holds(const witness::CoolingPlan& cooling) const {
        return holds(cooling.back) &&
               std::ranges::all_of(cooling.warm, [&](const witness::WarmPlan& warm) {
                   return holds(warm_sentence(warm.sensor, warm.hottest), warm.askings,
                                warm.refresh);
               });
    }
    [[nodiscard]] bool holds(const witness::ProcedureOpened& then) const {
        return holds(then.steps) && holds(then.back_out) &&
               std::ranges::all_of(
                   then.rules, [&](const witness::RulePlan& rule) { return holds(rule.holds); }) &&
               (!then.cooling || holds(*then.cooling)) &&
               refresh_of_all(settings_) <= then.handback.refresh;
    }

  private:
    const ChassisSettings& settings_;
};

std::string why(const std::string& what) {
    return "the profile was changed since " + what +
           " was opened: that needs another query now, or answers may be older. Give the former "
           "profile back, or end what is open on this chassis, and start the daemon again";
}

} // namespace

std::string outgrown(const ChassisSettings& settings, const replay::Recovered& past) {
    const Comparison comparison(settings);
    for (const replay::RecordedGate& gate : past.gates) {
        const witness::GateOpened& then = gate.opened;
        // Those of a procedure are planned with it.
        if (!gate.finding.retired && !then.askings.empty() &&
            !comparison.holds(then.sentence, then.askings, then.refresh))
            return why("gate " + then.id);
    }
    for (const replay::RecordedProcedure& procedure : past.procedures)
        if (procedure.finding.phase != witness::Phase::closed &&
            !comparison.holds(procedure.opened))
            return why("procedure " + procedure.opened.id);
    return "";
}

} // namespace slotwitness::desk
