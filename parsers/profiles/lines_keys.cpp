#include "layout_keys.hpp"
#include "schema.hpp"

#include <slotwitness/terminal/clean.hpp>

#include <algorithm>

namespace slotwitness::profiles {
namespace {

std::vector<std::string> rules_of(const Profile& profile) {
    std::vector<std::string> names;
    if (profile.grammar)
        for (const abnf::Rule& rule : profile.grammar->rules)
            names.push_back(rule.name);
    return names;
}

void add(Fields& fields, std::string_view key, const std::vector<state::Problem>& problems) {
    for (const state::Problem& problem : problems)
        fields.wrong(key, problem.found,
                     problem.expected + " in line " + std::to_string(problem.at.line) +
                         ", column " + std::to_string(problem.at.column) + " of the rules",
                     problem.remedy);
}

/// right-below = { sent-sum = ["sent"] }: rules of these lines, each with those of the line above.
void read_right_below(Fields& fields, layouts::LinesSpec& spec) {
    const toml::table* table = fields.table("right-below");
    if (table == nullptr)
        return;
    std::vector<std::string> below;
    for (const auto* names : {&spec.continues, &spec.sections, &spec.pass_over, &spec.empty})
        below.insert(below.end(), names->begin(), names->end());
    std::vector<std::string> above = below;
    above.insert(above.end(), spec.rows.begin(), spec.rows.end());
    const auto is_in = [](const std::vector<std::string>& names, const std::string& name) {
        return std::find(names.begin(), names.end(), name) != names.end();
    };
    Fields of_rules{*table, "right-below of " + fields.path(), fields.problems()};
    for (const auto& [key, value] : *table) {
        const std::string name{key.str()};
        std::vector<std::string> names = of_rules.texts(name);
        if (!is_in(below, name))
            fields.problems().add(
                value, name, "a rule of continues, sections, pass-over or empty",
                did_you_mean(name, below, "A row may stand anywhere; leave it out."));
        else if (names.empty())
            fields.problems().add(value, shown(value), "the rules of the line above",
                                  "Write for example " + name + " = [\"" + spec.rows.front() +
                                      "\"].");
        for (const std::string& one : names)
            if (!is_in(above, one))
                fields.problems().add(value, one,
                                      "a rule of rows, continues, sections, "
                                      "pass-over or empty",
                                      did_you_mean(one, above, "Add it to one of them."));
        if (is_in(below, name) && std::all_of(names.begin(), names.end(),
                                              [&](const auto& one) { return is_in(above, one); }))
            spec.right_below.emplace(name, std::move(names));
    }
}

} // namespace

std::vector<std::string> rule_names(Fields& fields, std::string_view key, const Profile& profile) {
    std::vector<std::string> names = fields.texts(key);
    std::erase_if(names, [&](const std::string& name) {
        if (profile.grammar && profile.grammar->find(name))
            return false;
        fields.wrong(key, name, "the name of a rule of [grammar]",
                     did_you_mean(name, rules_of(profile), "Add the rule to rules in [grammar]."));
        return true;
    });
    return names;
}

layouts::LineMatcher line_matcher(Fields& fields, std::string_view key, const Profile& profile) {
    const std::vector<std::string> rules = rule_names(fields, key, profile);
    if (rules.empty())
        return {};
    auto matcher = layouts::LineMatcher::compile({profile.grammar, rules});
    if (matcher)
        return std::move(*matcher);
    add(fields, key, matcher.error());
    return {};
}

std::shared_ptr<const abnf::Grammar> read_grammar(const toml::table& table, Problems& problems) {
    Fields fields{table, "[grammar]", problems};
    fields.require("rules", "rules = '''…''' with ABNF (RFC 5234)");
    const auto text = fields.text("rules");
    fields.finish();
    if (!text)
        return nullptr;
    auto grammar = abnf::parse_grammar(*text, "rules");
    if (grammar)
        return std::make_shared<const abnf::Grammar>(std::move(*grammar));
    add(fields, "rules", grammar.error());
    return nullptr;
}

Terminal read_terminal(const toml::table& table, const Profile& profile, Problems& problems) {
    Fields fields{table, "[terminal]", problems};
    Terminal terminal;
    terminal.pagers = fields.texts("pagers");
    terminal.echo = fields.truth("echo").value_or(false);
    terminal.log_lines = line_matcher(fields, "log-lines", profile);
    terminal.has_log_lines = table.contains("log-lines");
    if (const auto width = fields.integer("tab-width", 1, terminal::widest_tab))
        terminal.tab_width = static_cast<std::size_t>(*width);
    fields.finish();
    return terminal;
}

Described read_lines_keys(Fields& fields, const Around& around) {
    layouts::LinesSpec spec;
    spec.grammar = around.profile.grammar;
    fields.require("rows", "rows = [\"slot-line\"]");
    spec.rows = rule_names(fields, "rows", around.profile);
    spec.continues = rule_names(fields, "continues", around.profile);
    spec.sections = rule_names(fields, "sections", around.profile);
    spec.pass_over = rule_names(fields, "pass-over", around.profile);
    spec.empty = rule_names(fields, "empty", around.profile);
    if (!spec.rows.empty())
        read_right_below(fields, spec);
    spec.empty_answer = fields.truth("empty-answer").value_or(false);
    spec.blank_ends = fields.truth("blank-ends").value_or(true);
    if (!spec.grammar)
        fields.problems().add(fields.source(), "", "[grammar] with the rules of these lines",
                              "Add a table [grammar] with rules = '''…'''.");
    if (!spec.grammar || spec.rows.empty())
        return {};
    for (const std::string& label : around.cells) {
        if (spec.grammar->find(label))
            spec.cells.push_back(label);
        else
            fields.problems().add(fields.source(), label, "in its cells only names of rules",
                                  did_you_mean(label, rules_of(around.profile),
                                               "Add the rule, or leave the cell out."));
    }
    auto lines = layouts::Lines::prepare(spec);
    if (!lines) {
        add(fields, "rows", lines.error());
        return {};
    }
    return {std::move(*lines), around.cells};
}

} // namespace slotwitness::profiles
