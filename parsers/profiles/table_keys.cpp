#include "layout_keys.hpp"

#include <algorithm>
#include <array>

namespace slotwitness::profiles {
namespace {

using Edges = layouts::TableSpec::Edges;

/// header = [["FABRIC", "PATHS"], ["PLANE", "USABLE"]]: a list a printed line, a text a column.
void read_header(Fields& fields, layouts::TableSpec& spec) {
    constexpr std::size_t most_lines = 4;
    const toml::node* node = fields.node("header");
    if (node == nullptr)
        return;
    const std::string remedy =
        "Write for example header = [[\"FABRIC\", \"PATHS\"], [\"PLANE\", \"USABLE\"]].";
    const auto* lines = node->as_array();
    if (lines == nullptr || lines->empty() || lines->size() > most_lines) {
        fields.problems().add(*node, shown(*node),
                              "1 to 4 lists of texts, one a printed line of the header", remedy);
        return;
    }
    for (const toml::node& line : *lines) {
        std::vector<std::string> texts;
        if (const auto* array = line.as_array())
            for (const toml::node& text : *array)
                if (const auto* one = text.as_string())
                    texts.push_back(one->get());
        const bool all_blank =
            std::all_of(texts.begin(), texts.end(), [](const auto& text) { return text.empty(); });
        if (texts.size() != spec.columns.size() || all_blank) {
            fields.problems().add(line, shown(line),
                                  std::to_string(spec.columns.size()) +
                                      " texts, one a column, \"\" where it has none",
                                  remedy);
            return;
        }
        spec.header.push_back(std::move(texts));
    }
    for (std::size_t i = 0; i < spec.columns.size(); ++i)
        if (std::all_of(spec.header.begin(), spec.header.end(),
                        [&](const auto& line) { return line[i].empty(); }))
            fields.problems().add(*node, spec.columns[i],
                                  "a text for this column in one of the lines", remedy);
}

void check_edges(Fields& fields, const layouts::TableSpec& spec) {
    if (spec.edges == Edges::blanks && spec.wraps)
        fields.wrong("wraps", "true", "no wraps where edges = \"blanks\"",
                     "Leave it out: without edges a wrapped cell cannot be told from a row.");
    if (spec.edges == Edges::blanks && !spec.right_aligned.empty())
        fields.wrong("right-aligned", spec.right_aligned.front(),
                     "no right-aligned where edges = \"blanks\"", "Leave it out.");
    if (spec.edges != Edges::blanks && fields.source().contains("gap"))
        fields.wrong("gap", std::to_string(spec.gap), "no gap unless edges = \"blanks\"",
                     "Leave it out.");
    if (spec.edges == Edges::box && !spec.right_aligned.empty())
        fields.wrong("right-aligned", spec.right_aligned.front(),
                     "no right-aligned where edges = \"box\"",
                     "Leave it out: bars part the cells, however they are aligned.");
    if (spec.heading.empty() && !spec.other_headings.empty())
        fields.wrong("other-headings", spec.other_headings.front(),
                     "a heading of this table beside it",
                     "Add heading = \"…\", the line above this table.");
    if (std::find(spec.columns.begin(), spec.columns.end(), spec.group) != spec.columns.end())
        fields.wrong("group", spec.group, "a label that columns does not have",
                     "Correct it, or leave it out.");
}

} // namespace

Described read_table_keys(Fields& fields, const Around& around) {
    layouts::TableSpec spec;
    fields.require("edges", "edges = \"header\"");
    fields.require("columns", "columns = [\"SLOT\", \"STATE\"]");
    if (const auto at = fields.word("edges", {"header", "rule", "box", "blanks"}))
        spec.edges = std::to_array({Edges::header, Edges::rule, Edges::box, Edges::blanks}).at(*at);
    spec.columns = fields.texts("columns");
    check_labels(fields, "columns");
    spec.right_aligned = fields.texts("right-aligned");
    for (const std::string& label : spec.right_aligned)
        if (std::find(spec.columns.begin(), spec.columns.end(), label) == spec.columns.end())
            fields.wrong("right-aligned", label, "a label that columns has",
                         did_you_mean(label, spec.columns, "Leave it out, or add the column."));
    spec.wraps = fields.truth("wraps").value_or(false);
    spec.rows_after_blank = fields.truth("rows-after-blank").value_or(false);
    spec.pass_over = fields.texts("pass-over");
    spec.empty = fields.texts("empty");
    spec.pass_over_rules = line_matcher(fields, "pass-over-rules", around.profile);
    read_header(fields, spec);
    spec.gap = static_cast<std::size_t>(fields.integer("gap", 1, 16).value_or(1));
    spec.heading = fields.text("heading").value_or("");
    spec.other_headings = fields.texts("other-headings");
    spec.group = fields.text("group").value_or("");
    check_edges(fields, spec);
    std::vector<std::string> labels = spec.columns;
    if (!spec.group.empty())
        labels.push_back(spec.group);
    return {std::move(spec), std::move(labels)};
}

} // namespace slotwitness::profiles
