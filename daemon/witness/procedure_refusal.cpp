#include "called.hpp"
#include "course.hpp"
#include "refusal.hpp"

#include <algorithm>
#include <set>
#include <utility>

namespace slotwitness::witness {

namespace {

using Refused = std::optional<state::Problem>;

state::Problem refused(std::string where, std::string found, std::string expected,
                       std::string remedy) {
    return {std::move(where), {}, std::move(found), std::move(expected), std::move(remedy)};
}

/// Checks an opening part by part; the first problem is kept.
class Opening {
  public:
    Opening(const ProcedureOpened& opening, const Known& known)
        : opening_(opening), known_(known) {}

    [[nodiscard]] tl::expected<std::vector<sentences::Condition>, state::Problem> check() {
        if (opening_.id.empty() || opening_.id.find('.') != std::string::npos)
            note(refused("procedure", "id \"" + opening_.id + "\"", "an id without a point",
                         "Give it another id."));
        if (opening_.steps.empty())
            note(refused("procedure", "no step", "at least one step", "Write its steps."));
        names();
        codes();
        for (const auto* steps : {&opening_.steps, &opening_.back_out})
            for (const StepPlan& step : *steps)
                check(step);
        for (const RulePlan& rule : opening_.rules)
            check(rule);
        if (opening_.cooling)
            check(*opening_.cooling);
        for (const Exception& exception : opening_.handback.accepted)
            check(exception);
        if (problem_)
            return tl::unexpected(std::move(*problem_));
        return std::move(rules_);
    }

  private:
    void note(state::Problem problem) {
        if (!problem_)
            problem_ = std::move(problem);
    }

    void names() {
        std::set<std::string> names;
        for (const auto* steps : {&opening_.steps, &opening_.back_out})
            for (const StepPlan& step : *steps)
                if (step.name.empty() || step.name.find('.') != std::string::npos ||
                    !names.insert(step.name).second)
                    note(refused("step \"" + step.name + "\"", "its name",
                                 "a name of its own, without a point", "Name the step anew."));
    }

    void codes() {
        if (const std::size_t count = decisions_of(opening_).size();
            count > readback::most_decisions)
            note(refused("procedure", std::to_string(count) + " decisions",
                         "at most " + std::to_string(readback::most_decisions) +
                             ", so that each has a read-back code of its own",
                         "Divide the work, or let fewer rules have an advice of their own."));
    }

    /// Where it stands among the steps forward; their number if it is not there.
    [[nodiscard]] std::size_t place(const std::string& step) const {
        const auto found = std::find_if(opening_.steps.begin(), opening_.steps.end(),
                                        [&](const StepPlan& each) { return each.name == step; });
        return static_cast<std::size_t>(found - opening_.steps.begin());
    }
    void is_step(const std::string& where, const std::string& step) {
        if (place(step) == opening_.steps.size())
            note(refused(where, "step \"" + step + "\"", "a step of this procedure",
                         "Name one of its steps."));
    }

    void check(const StepPlan& step) {
        const std::string where = "step " + step.name;
        static_cast<void>(sentence(where, step.fact));
        if (step.effect)
            static_cast<void>(sentence(where + ", effect", *step.effect));
        if (!step.until.empty() && place(step.until) <= place(step.name))
            note(refused(where, "until \"" + step.until + "\"", "a later step", "Name one."));
        if (!step.until.empty() || !step.undoes.empty())
            is_step(where, step.undoes.empty() ? step.until : step.undoes);
        if (step.takes && (*step.takes < Duration(0) || *step.takes > longest_setting))
            note(refused(where, std::to_string(step.takes->count()) + " ms",
                         "0 s to " + units::to_text(longest_setting), "Rehearse it anew."));
    }

    void check(const RulePlan& rule) {
        const std::string where = "rule " + rule.name;
        for (const std::string& step : {rule.from, rule.until})
            if (!step.empty())
                is_step(where, step);
        auto holds = sentence(where, rule.holds);
        if (!holds)
            return;
        if (holds->hold || holds->within)
            note(refused(where, rule.holds.sentence, "a condition without for and within",
                         "A rule holds at every look: leave them out."));
        rules_.push_back(std::move(holds->condition));
    }

    void check(const CoolingPlan& cooling) {
        for (const std::string& step : {cooling.begins, cooling.ends})
            is_step("cooling", step);
        if (!cooling.out.empty())
            is_step("cooling", cooling.out);
        if (cooling.limit <= Duration(0) || cooling.limit > longest_setting)
            note(refused("cooling", std::to_string(cooling.limit.count()) + " ms",
                         "more than 0 s and at most " + units::to_text(longest_setting),
                         "Give the longest time that the tray may be out."));
        if (cooling.takes && (*cooling.takes < Duration(0) || *cooling.takes > longest_setting))
            note(refused("cooling", std::to_string(cooling.takes->count()) + " ms",
                         "at least 0 s and at most " + units::to_text(longest_setting),
                         "Give how long it took when it was rehearsed."));
        const sentences::Condition back{
            sentences::OneIs{{state::Kind::fan_tray, cooling.tray}, sentences::Trade::operational}};
        if (const auto read = sentence("cooling", cooling.back); read && read->condition != back)
            note(refused("cooling", cooling.back.sentence, to_text(back),
                         "Its clock ends as the tray works again."));
    }

    /// What nobody ever saw is a misspelling, and would accept nothing.
    void check(const Exception& exception) {
        const Component& component = exception.component;
        const std::string where = "accepted";
        if (exception.reason.empty())
            note(refused(where, spoken(component) + " without a reason", "why it is accepted",
                         "Say in a sentence why."));
        const auto listed = known_.listed.find(component.kind);
        const bool is_listed =
            listed != known_.listed.end() && listed->second.contains(component.name);
        if (!is_listed && !known_.inventory.has(component.kind, component.name))
            note(refused(where, spoken(component),
                         "a " + spoken(component.kind) + " of this chassis: " +
                             spoken_list(known_.inventory.names(component.kind)),
                         "Write the name as the device prints it."));
    }

    /// As a gate would be admitted; and on components of kinds that were seen or stated already.
    [[nodiscard]] std::optional<sentences::Sentence> sentence(const std::string& where,
                                                              const SentencePlan& plan) {
        auto read = admit(GateOpened{"", plan.sentence, plan.askings, plan.gap, plan.refresh,
                                     Duration(0), "", ""},
                          known_);
        if (!read) {
            read.error().where = where;
            note(std::move(read.error()));
            return std::nullopt;
        }
        const Called called(read->condition);
        for (const Component& component : called.components())
            if (component.kind != state::Kind::alarm && !known_.inventory.of(component.kind))
                note(refused(where, spoken(component), "a chassis whose parts are known",
                             "Wait for a whole look at its " + spoken(component.kind) +
                                 " list, or state the inventory in the configuration."));
        return std::move(*read);
    }

    const ProcedureOpened& opening_;
    const Known& known_;
    std::optional<state::Problem> problem_;
    std::vector<sentences::Condition> rules_;
};

} // namespace

tl::expected<std::vector<sentences::Condition>, state::Problem>
admit(const ProcedureOpened& procedure, const Known& known) {
    return Opening(procedure, known).check();
}

} // namespace slotwitness::witness
