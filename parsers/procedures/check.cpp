#include "check.hpp"

#include "places.hpp"
#include "sample.hpp"

#include <algorithm>
#include <set>

namespace slotwitness::procedures {
namespace {

using keys::Problems;

/// Where a table of the document has a key; the table itself where it has not.
const toml::node& node_of(const toml::table& table, std::string_view key) {
    const toml::node* node = table.get(key);
    return node != nullptr ? *node : static_cast<const toml::node&>(table);
}

class Checker {
  public:
    Checker(const Procedure& procedure, const toml::table& document, Problems& problems)
        : procedure_(procedure), document_(document), problems_(problems),
          samples_(procedure.parameters) {}

    void check() {
        check_names();
        for (std::size_t i = 0; i < procedure_.steps.size(); ++i)
            check_step(procedure_.steps[i], table("step", i));
        for (std::size_t i = 0; i < procedure_.back_out.size(); ++i)
            check_back_out(procedure_.back_out[i], table("back-out", i));
        for (std::size_t i = 0; i < procedure_.rules.size(); ++i)
            check_rule(procedure_.rules[i], table("rule", i));
        if (procedure_.cooling)
            check_cooling(*procedure_.cooling, *document_.get("cooling")->as_table());
        for (std::size_t i = 0; i < procedure_.ready.size(); ++i)
            check_ready(procedure_.ready[i], table("ready", i));
        if (procedure_.compatibility)
            check_compatibility(*procedure_.compatibility,
                                *document_.get("compatibility")->as_table());
        check_work_slot();
        const toml::table& header = *document_.get("procedure")->as_table();
        look_for_places(procedure_.title, node_of(header, "title"));
        for (const std::string& tool : procedure_.tools)
            look_for_places(tool, node_of(header, "tools"));
        check_all_used();
        check_order();
    }

  private:
    [[nodiscard]] const toml::table& table(std::string_view key, std::size_t at) const {
        return *document_.get(key)->as_array()->get(at)->as_table();
    }

    void check_names() {
        std::set<std::string> names;
        const auto once = [&](const std::string& name, const toml::table& where) {
            if (!names.insert(name).second)
                problems_.add(node_of(where, "name"), name, "a name of its own for each step",
                              "Rename one of the two.");
        };
        for (std::size_t i = 0; i < procedure_.steps.size(); ++i)
            once(procedure_.steps[i].name, table("step", i));
        for (std::size_t i = 0; i < procedure_.back_out.size(); ++i)
            once(procedure_.back_out[i].step.name, table("back-out", i));
    }

    /// The place of a step among the steps; nothing, and a problem, if there is no such step.
    std::optional<std::size_t> step_at(const std::string& name, const toml::table& where,
                                       std::string_view key) {
        const auto step = std::find_if(procedure_.steps.begin(), procedure_.steps.end(),
                                       [&](const Step& each) { return each.name == name; });
        if (step != procedure_.steps.end())
            return static_cast<std::size_t>(step - procedure_.steps.begin());
        std::vector<std::string> names;
        for (const Step& each : procedure_.steps)
            names.push_back(each.name);
        problems_.add(node_of(where, key), name, "the name of a step: " + keys::one_of(names),
                      keys::did_you_mean(name, names, "Name one of these."));
        return std::nullopt;
    }

    void must_follow(std::optional<std::size_t> first, std::optional<std::size_t> then,
                     const toml::table& where, std::string_view key, const std::string& name) {
        if (first && then && *then <= *first)
            problems_.add(node_of(where, key), name,
                          "a step after " + procedure_.steps[*first].name,
                          "Name a later step, or move it.");
    }

    void check_step(const Step& step, const toml::table& where) {
        check_texts(step, where);
        if (!step.until.empty())
            must_follow(step_at(step.name, where, "name"), step_at(step.until, where, "until"),
                        where, "until", step.until);
    }

    void check_back_out(const BackOutStep& back, const toml::table& where) {
        check_texts(back.step, where);
        static_cast<void>(step_at(back.undoes, where, "undoes"));
        if (!back.step.until.empty())
            problems_.add(node_of(where, "until"), back.step.until, "no until on the way back",
                          "Leave it out: nothing is guarded there.");
    }

    void check_texts(const Step& step, const toml::table& where) {
        check_sentence(step.fact, where, "fact");
        if (step.effect)
            check_sentence(*step.effect, where, "effect");
        look_for_places(step.act, node_of(where, "act"));
        look_for_places(step.confirm.value_or(""), node_of(where, "confirm"));
        for (const std::string& caution : step.cautions)
            look_for_places(caution, node_of(where, "cautions"));
        look_for_places(step.if_wrong.say, node_of(where, "if-wrong"));
    }

    void check_rule(const Rule& rule, const toml::table& where) {
        check_condition(rule.holds, where, "Leave them out: a rule is judged at every answer.");
        look_for_places(rule.say, node_of(where, "say"));
        if (rule.if_wrong)
            look_for_places(rule.if_wrong->say, node_of(where, "if-wrong"));
        std::optional<std::size_t> from;
        if (!rule.from.empty())
            from = step_at(rule.from, where, "from");
        if (!rule.until.empty())
            must_follow(from, step_at(rule.until, where, "until"), where, "until", rule.until);
    }

    void check_ready(const ReadyCheck& ready, const toml::table& where) {
        check_condition(ready.holds, where, "Leave them out: the ready check looks once.");
        look_for_places(ready.say, node_of(where, "say"));
        look_for_places(ready.remedy, node_of(where, "remedy"));
    }

    static bool is_words(const Parameter& parameter) {
        return std::holds_alternative<Words>(parameter.is);
    }

    void check_compatibility(const Compatibility& list, const toml::table& where) {
        must_be(list.part, where, "part", "words", is_words);
        if (!list.revision.empty())
            must_be(list.revision, where, "revision", "words", is_words);
    }

    void check_condition(const std::string& text, const toml::table& where,
                         std::string_view why_not) {
        const auto sentence = check_sentence(text, where, "holds");
        if (sentence && (sentence->hold || sentence->within))
            problems_.add(node_of(where, "holds"), text, "a condition without for and within",
                          std::string{why_not});
    }

    void check_cooling(const Cooling& cooling, const toml::table& where) {
        const auto begins = step_at(cooling.begins, where, "begins");
        const auto ends = step_at(cooling.ends, where, "ends");
        must_follow(begins, ends, where, "ends", cooling.ends);
        if (!cooling.out.empty())
            check_out(begins, step_at(cooling.out, where, "out"), ends, where);
        must_be(cooling.tray, where, "tray", "one fan-tray", [](const Parameter& parameter) {
            const auto* component = std::get_if<ComponentOf>(&parameter.is);
            return component != nullptr && component->kind == state::Kind::fan_tray &&
                   !component->several;
        });
        const auto is_time_limit = [](const Parameter& parameter) {
            return std::holds_alternative<TimeLimit>(parameter.is);
        };
        must_be(cooling.limit, where, "limit", "a time-limit", is_time_limit);
        if (!cooling.takes.empty())
            must_be(cooling.takes, where, "takes", "a time-limit", is_time_limit);
        if (cooling.sensors.empty())
            return;
        must_be(cooling.sensors, where, "sensors", "a sensor", [](const Parameter& parameter) {
            const auto* component = std::get_if<ComponentOf>(&parameter.is);
            return component != nullptr && component->kind == state::Kind::sensor;
        });
        if (cooling.hottest.empty())
            return;
        must_be(cooling.hottest, where, "hottest", "a figure in C", [](const Parameter& parameter) {
            const auto* figure = std::get_if<Figure>(&parameter.is);
            return figure != nullptr && figure->unit == units::Unit::celsius;
        });
    }

    /// A part that leaves before its tray does, or after its return, is no part behind it.
    void check_out(std::optional<std::size_t> begins, std::optional<std::size_t> out,
                   std::optional<std::size_t> ends, const toml::table& where) {
        if (begins && out && ends && (*out < *begins || *out >= *ends))
            problems_.add(node_of(where, "out"), procedure_.steps[*out].name,
                          "a step from " + procedure_.steps[*begins].name + " on, before " +
                              procedure_.steps[*ends].name,
                          "Name the step that takes the old part out, or leave it out.");
    }

    template <class Is>
    void must_be(const std::string& name, const toml::table& where, std::string_view key,
                 std::string_view what, const Is& is) {
        used_.insert(name);
        const auto found = procedure_.parameters.find(name);
        if (found == procedure_.parameters.end() || !is(found->second))
            problems_.add(node_of(where, key), name,
                          "the name of a parameter that is " + std::string{what},
                          "Write [parameter." + name + "].");
    }

    void check_work_slot() {
        const toml::table& header = *document_.get("procedure")->as_table();
        if (procedure_.work_slot)
            must_be(*procedure_.work_slot, header, "work-slot", "one component",
                    [](const Parameter& parameter) {
                        const auto* component = std::get_if<ComponentOf>(&parameter.is);
                        return component != nullptr && !component->several;
                    });
        else if (procedure_.work != Work::look_only)
            problems_.add(header, "", "work-slot: the parameter that names what is worked on",
                          "Add for example work-slot = \"module\".");
        if (!procedure_.spare)
            return;
        must_be(*procedure_.spare, header, "spare", "words", is_words);
        if (procedure_.work != Work::replace)
            problems_.add(node_of(header, "spare"), *procedure_.spare,
                          "no spare, for the same part goes in again",
                          "Leave it out, or say work = \"replace\".");
    }

    /// False, and a problem, where a place has no parameter.
    bool look_for_places(std::string_view text, const toml::node& where) {
        bool known = true;
        for (const Place& place : places_in(text)) {
            used_.emplace(place.name);
            if (procedure_.parameters.contains(std::string{place.name}))
                continue;
            known = false;
            std::vector<std::string> names;
            for (const auto& [name, parameter] : procedure_.parameters)
                names.push_back(name);
            problems_.add(where, "<" + std::string{place.name} + ">", "the place of a parameter",
                          keys::did_you_mean(place.name, names,
                                             "Write [parameter." + std::string{place.name} + "]."));
        }
        return known;
    }

    std::optional<sentences::Sentence>
    check_sentence(const std::string& text, const toml::table& where, std::string_view key) {
        const toml::node& node = node_of(where, key);
        bool fits = look_for_places(text, node);
        for (const Place& place : places_in(text))
            if (!samples_.may_stand_in_sentences(place.name)) {
                fits = false;
                problems_.add(node, "<" + std::string{place.name} + ">",
                              "a component, a figure or a time limit, for words are not judged",
                              "Leave it out of the sentence.");
            }
        if (!fits)
            return std::nullopt;
        const FilledText filled = samples_.fill(text);
        auto sentence = sentences::parse(filled.text);
        if (sentence)
            return std::move(*sentence);
        const state::Problem& problem = sentence.error();
        problems_.add(node, text,
                      "at column " + std::to_string(filled.column_before(problem.at.column)) +
                          " of the sentence " + problem.expected,
                      problem.remedy);
        return std::nullopt;
    }

    void check_all_used() {
        const toml::table* parameters =
            document_.contains("parameter") ? document_.get("parameter")->as_table() : nullptr;
        for (const auto& [name, parameter] : procedure_.parameters)
            if (!used_.contains(name))
                problems_.add(*parameters->get(name), name, "a place <" + name + "> in some text",
                              "Use it, or do not ask people for it.");
    }

    /// A plane that comes up over a module that still boots comes up with less than it had: once
    /// the work slot was empty, a plane's gate opens only behind that of the module.
    void check_order() {
        const auto slot =
            procedure_.work_slot ? samples_.component(*procedure_.work_slot) : std::nullopt;
        if (!slot || slot->kind != state::Kind::module || !problems_.empty())
            return;
        bool was_out = false;
        bool works = false;
        for (std::size_t i = 0; i < procedure_.steps.size(); ++i) {
            const auto fact = sentences::parse(samples_.fill(procedure_.steps[i].fact).text);
            if (was_out && !works && waits_for_a_plane(fact->condition))
                problems_.add(node_of(table("step", i), "fact"), procedure_.steps[i].fact,
                              "a step before it that waits for <" + *procedure_.work_slot +
                                  "> to be operational",
                              "Add such a step: a plane is called up only when its module works.");
            for (const std::string& text :
                 {procedure_.steps[i].fact, procedure_.steps[i].effect.value_or("")}) {
                const auto sentence = sentences::parse(samples_.fill(text).text);
                if (!sentence)
                    continue;
                if (says(sentence->condition, *slot, sentences::Trade::absent)) {
                    was_out = true;
                    works = false;
                }
                works = works || says(sentence->condition, *slot, sentences::Trade::operational);
            }
        }
    }

    const Procedure& procedure_;
    const toml::table& document_;
    Problems& problems_;
    Samples samples_;
    std::set<std::string, std::less<>> used_; ///< parameters that some text has a place for
};

} // namespace

void check(const Procedure& procedure, const toml::table& document, keys::Problems& problems) {
    Checker{procedure, document, problems}.check();
}

} // namespace slotwitness::procedures
