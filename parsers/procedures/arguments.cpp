#include "arguments.hpp"

#include "argument.hpp"
#include "places.hpp"

#include <slotwitness/keys/problems.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::procedures {
namespace {

class Filling {
  public:
    Filling(const Procedure& procedure, const Arguments& arguments)
        : filled_{procedure, {}, {}, {}, {}, {}, {}} {
        read(arguments);
    }

    [[nodiscard]] tl::expected<FilledProcedure, std::vector<state::Problem>> fill() && {
        Procedure& procedure = filled_.procedure;
        fill_text(procedure.title);
        for (std::string& tool : procedure.tools)
            fill_text(tool);
        for (Step& step : procedure.steps)
            fill_step(step);
        for (BackOutStep& back : procedure.back_out)
            fill_step(back.step);
        for (Rule& rule : procedure.rules)
            fill_rule(rule);
        for (ReadyCheck& ready : procedure.ready)
            fill_ready(ready);
        if (!problems_.empty())
            return tl::unexpected(std::move(problems_));
        name_parts();
        return std::move(filled_);
    }

  private:
    void read(const Arguments& arguments) {
        std::vector<std::string> names;
        for (const auto& [name, parameter] : filled_.procedure.parameters) {
            names.push_back(name);
            const auto argument = arguments.find(name);
            if (argument == arguments.end()) {
                problems_.push_back(missing_argument(name, parameter));
                continue;
            }
            auto given = read_argument(name, parameter, argument->second);
            if (given)
                given_.emplace(name, std::move(*given));
            else
                problems_.push_back(std::move(given.error()));
        }
        for (const auto& [name, argument] : arguments)
            if (!filled_.procedure.parameters.contains(name))
                problems_.push_back({"argument " + name,
                                     {},
                                     argument,
                                     names.empty()
                                         ? "no argument, for the procedure has no parameter"
                                         : "the name of a parameter: " + keys::one_of(names),
                                     keys::did_you_mean(name, names, "Leave it out.")});
    }

    /// Empty where the argument has a problem, which has been told.
    [[nodiscard]] std::string value(std::string_view name, std::string Given::*form) const {
        const auto found = given_.find(name);
        return found == given_.end() ? std::string{} : found->second.*form;
    }

    void fill_text(std::string& text) const {
        text = procedures::fill(text, [&](std::string_view name) {
                   return value(name, &Given::in_text);
               }).text;
    }

    void fill_sentence(const std::string& where, std::string& text) {
        std::string places;
        for (const Place& place : places_in(text)) {
            if (!given_.contains(place.name))
                return;
            places.append(places.empty() ? "<" : ", <").append(place.name).append(">");
        }
        std::string as_given = procedures::fill(text, [&](std::string_view name) {
                                   return value(name, &Given::in_sentence);
                               }).text;
        const auto sentence = sentences::parse(as_given);
        if (sentence) {
            text = sentences::to_text(*sentence);
            return;
        }
        const state::Problem& problem = sentence.error();
        problems_.push_back({where,
                             {},
                             std::move(as_given),
                             "at column " + std::to_string(problem.at.column) +
                                 " of the sentence " + problem.expected,
                             "Give another " + places + ": " + problem.remedy});
    }

    void fill_step(Step& step) {
        fill_text(step.act);
        fill_text(step.if_wrong.say);
        if (step.confirm)
            fill_text(*step.confirm);
        for (std::string& caution : step.cautions)
            fill_text(caution);
        fill_sentence("step " + step.name + ", fact", step.fact);
        if (step.effect)
            fill_sentence("step " + step.name + ", effect", *step.effect);
    }

    void fill_rule(Rule& rule) {
        fill_text(rule.say);
        if (rule.if_wrong)
            fill_text(rule.if_wrong->say);
        fill_sentence("rule " + rule.name, rule.holds);
    }

    void fill_ready(ReadyCheck& ready) {
        fill_text(ready.say);
        fill_text(ready.remedy);
        fill_sentence("ready " + ready.name, ready.holds);
    }

    void name_parts() {
        const Procedure& procedure = filled_.procedure;
        for (const auto& [name, given] : given_) {
            filled_.given.emplace(name, given.in_text);
            if (const auto* of = std::get_if<ComponentOf>(&procedure.parameters.at(name).is))
                for (const std::string& component : given.names)
                    filled_.components[name].push_back({of->kind, component});
        }
        if (procedure.work_slot)
            filled_.work_slot = filled_.components.at(*procedure.work_slot).at(0);
        if (procedure.spare)
            filled_.spare = given_.at(*procedure.spare).in_text;
        if (procedure.cooling) {
            filled_.tray = given_.at(procedure.cooling->tray).names.at(0);
            filled_.limit = given_.at(procedure.cooling->limit).limit;
            if (!procedure.cooling->takes.empty())
                filled_.takes = given_.at(procedure.cooling->takes).limit;
            if (!procedure.cooling->sensors.empty()) {
                filled_.sensors = given_.at(procedure.cooling->sensors).names;
                if (!procedure.cooling->hottest.empty())
                    filled_.hottest =
                        units::parse_quantity(given_.at(procedure.cooling->hottest).in_sentence);
            }
        }
    }

    FilledProcedure filled_;
    std::map<std::string, Given, std::less<>> given_; ///< by parameter; those without a problem
    std::vector<state::Problem> problems_;
};

} // namespace

tl::expected<FilledProcedure, std::vector<state::Problem>>
fill_procedure(const Procedure& procedure, const Arguments& arguments) {
    return Filling{procedure, arguments}.fill();
}

} // namespace slotwitness::procedures
