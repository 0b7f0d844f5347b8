#include "plan.hpp"

#include <slotwitness/profiles/attributes.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::desk {

namespace {

witness::Advice advice_of(const procedures::IfWrong& advice) {
    std::string first(procedures::to_word(advice.first));
    std::replace(first.begin(), first.end(), '-', ' ');
    return {std::move(first), advice.say};
}

/// Plans part by part; the first problem is kept.
class Planner {
  public:
    explicit Planner(const ChassisSettings& settings) : settings_(settings) {}

    [[nodiscard]] witness::SentencePlan plan(const std::string& where, const std::string& text) {
        const auto sentence = sentences::parse(text);
        if (!sentence) {
            note(where, sentence.error());
            return {};
        }
        auto plan = plan_sentence(settings_, *sentence, std::nullopt);
        if (!plan) {
            note(where, std::move(plan.error()));
            return {};
        }
        return std::move(*plan);
    }

    [[nodiscard]] witness::StepPlan plan(const procedures::Step& step) {
        const std::string where = "step " + step.name;
        witness::StepPlan planned;
        planned.name = step.name;
        planned.technician = step.actor == procedures::Actor::technician;
        planned.act = step.act;
        planned.confirm = step.confirm;
        planned.cautions = step.cautions;
        planned.if_wrong = advice_of(step.if_wrong);
        planned.fact = plan(where, step.fact);
        if (step.effect)
            planned.effect = plan(where + ", effect", *step.effect);
        planned.until = step.until;
        planned.takes = step.takes;
        return planned;
    }

    [[nodiscard]] witness::RulePlan plan(const procedures::Rule& rule) {
        witness::RulePlan planned{rule.name, rule.say,   plan("rule " + rule.name, rule.holds),
                                  rule.from, rule.until, {}};
        if (rule.if_wrong)
            planned.if_wrong = advice_of(*rule.if_wrong);
        return planned;
    }

    [[nodiscard]] witness::CoolingPlan plan(const procedures::Cooling& cooling,
                                            const procedures::FilledProcedure& filled) {
        const sentences::Sentence back{{sentences::OneIs{{state::Kind::fan_tray, *filled.tray},
                                                         sentences::Trade::operational}},
                                       {},
                                       {}};
        return {*filled.tray,   plan("cooling", sentences::to_text(back)),
                cooling.begins, cooling.ends,
                cooling.out,    *filled.limit,
                warm(filled),   filled.takes};
    }

    [[nodiscard]] std::vector<witness::WarmPlan> warm(const procedures::FilledProcedure& filled) {
        std::vector<witness::WarmPlan> warm;
        if (!filled.sensors.empty() && !filled.hottest && !states_limits())
            note("cooling", {"cooling",
                             {},
                             "no limit of its sensors",
                             "one that the device states, or that people give",
                             "Read it in the profile (attribute = \"limit\"), or name a parameter "
                             "with hottest in the procedure."});
        for (const std::string& sensor : filled.sensors) {
            const auto hottest =
                filled.hottest ? std::optional(filled.hottest->value) : std::nullopt;
            auto planned = plan("cooling", warm_sentence(sensor, hottest));
            warm.push_back({sensor, hottest, std::move(planned.askings), planned.refresh});
        }
        return warm;
    }

    [[nodiscard]] std::optional<state::Problem> take_problem() { return std::move(problem_); }

  private:
    [[nodiscard]] bool states_limits() const {
        const profiles::Profile& profile = *settings_.profile;
        return std::any_of(profile.queries.begin(), profile.queries.end(), [&](const auto& named) {
            const profiles::Query& query = named.second;
            return profiles::kinds_of(query).contains(state::Kind::sensor) &&
                   profiles::attributes_of(profile, query).contains(state::Attribute::limit);
        });
    }

    void note(const std::string& where, state::Problem problem) {
        if (problem_)
            return;
        problem.where = where;
        problem_ = std::move(problem);
    }

    const ChassisSettings& settings_;
    std::optional<state::Problem> problem_;
};

witness::Work work_of(procedures::Work work) {
    switch (work) {
    case procedures::Work::replace:
        return witness::Work::replace;
    case procedures::Work::reseat:
        return witness::Work::reseat;
    case procedures::Work::refit:
        return witness::Work::refit;
    case procedures::Work::look_only:
        return witness::Work::look_only;
    }
    return witness::Work::look_only;
}

/// Of a whole look every query is one.
witness::HandbackPlan plan_handback(const ChassisSettings& settings,
                                    const procedures::FilledProcedure& filled) {
    witness::HandbackPlan plan;
    plan.work.work = work_of(filled.procedure.work);
    if (filled.work_slot)
        plan.work.slot = witness::Component{filled.work_slot->kind, filled.work_slot->name};
    plan.work.spare = filled.spare;
    plan.gap = pending_gap(settings);
    plan.refresh = refresh_of_all(settings);
    return plan;
}

} // namespace

tl::expected<witness::SentencePlan, state::Problem>
plan_sentence(const ChassisSettings& settings, const sentences::Sentence& sentence,
              std::optional<units::Duration> gap) {
    const profiles::Profile& profile = *settings.profile;
    const auto needs = profiles::needs(profile, sentence);
    if (!needs)
        return tl::unexpected(needs.error());
    witness::SentencePlan plan;
    plan.sentence = sentences::to_text(sentence);
    for (const profiles::Asking& asking : *needs)
        plan.askings.push_back(asking.key());
    std::sort(plan.askings.begin(), plan.askings.end());
    plan.gap = gap.value_or(pending_gap(settings));
    plan.refresh = profiles::refresh_of(profile, *needs);
    return plan;
}

units::Duration refresh_of_all(const ChassisSettings& settings) {
    const auto queries = profiles::all_queries(*settings.profile);
    return profiles::refresh_of(*settings.profile, {queries.begin(), queries.end()});
}

std::string warm_sentence(const std::string& sensor, const std::optional<units::Decimal>& hottest) {
    const units::Quantity limit{hottest.value_or(units::Decimal{}), units::Unit::celsius};
    return sentences::to_text(
        {{sentences::OneIs{{state::Kind::sensor, sensor},
                           sentences::Measured{sentences::Comparison::below, limit}}},
         {},
         {}});
}

std::vector<std::string> whole_look(const ChassisSettings& settings) {
    std::vector<std::string> askings;
    for (const profiles::Asking& asking : profiles::all_queries(*settings.profile))
        askings.push_back(asking.key());
    std::sort(askings.begin(), askings.end());
    return askings;
}

std::vector<std::string> warnings_about(const ChassisSettings& settings) {
    std::vector<std::string> warnings;
    if (settings.in_band)
        warnings.emplace_back(
            "The router is watched through its own fabric, on which this work may be "
            "done: the router session, and with it all that is seen, may end in the "
            "midst of it. Have another way to the router at hand.");
    return warnings;
}

tl::expected<witness::ProcedureOpened, state::Problem>
plan_procedure(const ChassisSettings& settings, const procedures::FilledProcedure& filled) {
    const procedures::Procedure& procedure = filled.procedure;
    if (procedure.family != settings.profile->family)
        return tl::unexpected(state::Problem{"procedure",
                                             {},
                                             "a procedure for " + procedure.family,
                                             "one for " + settings.profile->family,
                                             "Name another procedure, or another chassis."});
    Planner planner(settings);
    witness::ProcedureOpened opening;
    opening.title = procedure.title;
    for (const procedures::Step& step : procedure.steps)
        opening.steps.push_back(planner.plan(step));
    for (const procedures::BackOutStep& step : procedure.back_out) {
        opening.back_out.push_back(planner.plan(step.step));
        opening.back_out.back().undoes = step.undoes;
    }
    for (const procedures::Rule& rule : procedure.rules)
        opening.rules.push_back(planner.plan(rule));
    if (procedure.cooling)
        opening.cooling = planner.plan(*procedure.cooling, filled);
    opening.whole = whole_look(settings);
    opening.chassis = settings.name;
    opening.warnings = warnings_about(settings);
    opening.right_chassis = true;
    opening.undo = procedure.undo;
    opening.handback = plan_handback(settings, filled);
    if (auto problem = planner.take_problem())
        return tl::unexpected(std::move(*problem));
    return opening;
}

} // namespace slotwitness::desk
