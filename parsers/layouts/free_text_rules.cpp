#include "free_text_rules.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

namespace slotwitness::layouts {
namespace {

/// The rules of a specification, in the order in which they are tried.
std::array<std::pair<const std::vector<std::string>*, LineMeaning>, 5>
in_order(const LinesSpec& spec) {
    return {{{&spec.rows, LineMeaning::row},
             {&spec.continues, LineMeaning::continuation},
             {&spec.sections, LineMeaning::section},
             {&spec.pass_over, LineMeaning::pass_over},
             {&spec.empty, LineMeaning::empty}}};
}

using Problems = std::vector<state::Problem>;

tl::unexpected<Problems> refused(std::string found, std::string expected, std::string remedy) {
    return tl::unexpected(
        Problems{{"", {}, std::move(found), std::move(expected), std::move(remedy)}});
}

bool has(const std::vector<std::string>& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

std::optional<Problems> check_right_below(const LinesSpec& spec,
                                          const std::vector<LineRule>& rules) {
    const auto is_line = [&](const std::string& name) {
        return std::any_of(rules.begin(), rules.end(),
                           [&](const LineRule& rule) { return rule.name == name; });
    };
    for (const auto& [name, above] : spec.right_below) {
        if (!is_line(name) || has(spec.rows, name))
            return refused(name, "a rule of lines that begin no block", "leave it out").value();
        for (const std::string& one : above)
            if (!is_line(one))
                return refused(one, "a rule of lines", "name the rule of the line above").value();
    }
    return std::nullopt;
}

/// The rules that a line may be of below one of the rule `above`, or below no such line.
std::vector<std::size_t> rules_below(const LinesSpec& spec, const std::vector<LineRule>& rules,
                                     const LineRule* above) {
    std::vector<std::size_t> all;
    for (std::size_t i = 0; i < rules.size(); ++i) {
        const auto wanted = spec.right_below.find(rules[i].name);
        if (wanted == spec.right_below.end() ||
            (above != nullptr && has(wanted->second, above->name)))
            all.push_back(i);
    }
    return all;
}

} // namespace

tl::expected<Lines, std::vector<state::Problem>> Lines::prepare(LinesSpec spec) {
    if (spec.grammar == nullptr)
        return refused("", "a grammar of the lines", "describe the lines in ABNF");
    if (spec.rows.empty())
        return refused("", "a rule of lines that begin a block", "name the rule of such a line");
    Prepared made;
    for (const auto& [names, meaning] : in_order(spec))
        for (const std::string& name : *names)
            made.rules.push_back({name, meaning});
    if (auto problems = check_right_below(spec, made.rules))
        return tl::unexpected(std::move(*problems));
    std::vector<const LineRule*> above{nullptr};
    for (const LineRule& rule : made.rules)
        above.push_back(&rule);
    for (const LineRule* rule : above) {
        std::vector<std::size_t> rules = rules_below(spec, made.rules, rule);
        auto choice = std::find_if(made.choices.begin(), made.choices.end(),
                                   [&](const LineChoice& one) { return one.rules == rules; });
        if (rule != nullptr)
            made.below.push_back(static_cast<std::size_t>(choice - made.choices.begin()));
        if (choice != made.choices.end())
            continue;
        std::vector<std::string> names;
        for (const std::size_t i : rules)
            names.push_back(made.rules[i].name);
        auto matcher = abnf::Matcher::compile(*spec.grammar, names, spec.cells);
        if (!matcher)
            return tl::unexpected(std::move(matcher.error()));
        made.choices.push_back({std::move(rules), std::move(*matcher)});
    }
    made.spec = std::move(spec);
    return Lines{std::make_shared<const Prepared>(std::move(made))};
}

const LinesSpec& Lines::spec() const {
    return prepared_->spec;
}

} // namespace slotwitness::layouts
