#include "said.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::ready {
namespace {

using sentences::Condition;
using When = Said::When;

/// True of the condition itself, or of one in it.
template <class Test>
bool any_in(const Condition& condition, const Test& test) {
    const auto any_of = [&](const std::vector<Condition>& operands) {
        return std::any_of(operands.begin(), operands.end(),
                           [&](const Condition& each) { return any_in(each, test); });
    };
    if (const auto* node = std::get_if<sentences::Not>(&condition.node))
        return any_of(node->operand);
    if (const auto* node = std::get_if<sentences::And>(&condition.node))
        return any_of(node->operands);
    if (const auto* node = std::get_if<sentences::Or>(&condition.node))
        return any_of(node->operands);
    return test(condition);
}

class Saying {
  public:
    explicit Saying(const profiles::Profile& profile) : profile_(profile) {}

    void say(std::string of, sentences::Sentence sentence, When when, std::string remedy = {}) {
        auto needs = profiles::needs(profile_, sentence);
        all_.push_back(
            {std::move(of), std::move(sentence), when, std::move(remedy), std::move(needs)});
    }
    void say(std::string of, const std::string& text, When when, std::string remedy = {}) {
        if (auto sentence = sentences::parse(text)) // a filled procedure has no other
            say(std::move(of), std::move(*sentence), when, std::move(remedy));
    }
    void say(const std::string& of, const procedures::Step& step, When fact, When effect) {
        say(of, step.fact, fact);
        if (step.effect)
            say(of + ", effect", *step.effect, effect);
    }
    [[nodiscard]] std::vector<Said> all() && { return std::move(all_); }

  private:
    const profiles::Profile& profile_;
    std::vector<Said> all_;
};

} // namespace

bool Said::asks(std::string_view asking) const {
    return needs && std::any_of(needs->begin(), needs->end(),
                                [&](const profiles::Asking& each) { return each.key() == asking; });
}

std::vector<Said> all_said(const profiles::Profile& profile,
                           const procedures::FilledProcedure& filled) {
    const procedures::Procedure& procedure = filled.procedure;
    Saying saying(profile);
    for (const auto& [parameter, components] : filled.components)
        for (const sentences::Named& component : components)
            saying.say("parameter " + parameter,
                       {{sentences::OneIs{component, sentences::Trade::present}}, {}, {}},
                       When::now);
    for (const procedures::ReadyCheck& ready : procedure.ready)
        saying.say("ready check " + ready.name + ": " + ready.say, ready.holds, When::now,
                   ready.remedy);
    const std::string& first = procedure.steps.front().name;
    for (const procedures::Rule& rule : procedure.rules)
        saying.say("rule " + rule.name, rule.holds,
                   rule.from.empty() || rule.from == first ? When::now : When::later);
    // Where nobody touches anything no act brings a fact about.
    const bool acts = procedure.work != procedures::Work::look_only;
    for (const procedures::Step& step : procedure.steps)
        saying.say("step " + step.name, step, acts && step.name != first ? When::later : When::now,
                   When::later);
    for (const procedures::BackOutStep& back : procedure.back_out)
        saying.say("step back " + back.step.name, back.step, When::back, When::back);
    return std::move(saying).all();
}

std::vector<Condition> parts_of(const Condition& condition) {
    const auto* both = std::get_if<sentences::And>(&condition.node);
    if (both == nullptr)
        return {condition};
    std::vector<Condition> parts;
    for (const Condition& operand : both->operands)
        for (Condition& part : parts_of(operand))
            parts.push_back(std::move(part));
    return parts;
}

bool compares_capacity(const Condition& condition) {
    return any_in(condition, [](const Condition& each) {
        return std::holds_alternative<sentences::CapacityCovers>(each.node);
    });
}

bool compares_with_baseline(const Condition& condition) {
    return any_in(condition, [](const Condition& each) {
        const auto* earlier = std::get_if<sentences::Earlier>(&each.node);
        return earlier != nullptr &&
               !std::holds_alternative<sentences::ErrorsNotRising>(earlier->comparison);
    });
}

} // namespace slotwitness::ready
