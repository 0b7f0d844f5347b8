#include "write.hpp"

#include "text.hpp"

#include <algorithm>

namespace slotwitness::draft {

namespace {

std::string key(std::string_view name, std::string_view value) {
    return std::string(name) + " = " + std::string(value) + "\n";
}

std::string_view word_of(layouts::TableSpec::Edges edges) {
    switch (edges) {
    case layouts::TableSpec::Edges::header:
        return "header";
    case layouts::TableSpec::Edges::rule:
        return "rule";
    case layouts::TableSpec::Edges::box:
        return "box";
    case layouts::TableSpec::Edges::blanks:
        return "blanks";
    }
    __builtin_unreachable();
}

std::string_view word_of(layouts::RecordSpec::Separator separator) {
    switch (separator) {
    case layouts::RecordSpec::Separator::colon:
        return ":";
    case layouts::RecordSpec::Separator::equals:
        return "=";
    case layouts::RecordSpec::Separator::dots:
        return "...";
    }
    __builtin_unreachable();
}

struct LayoutWord {
    std::string operator()(const layouts::TableSpec&) const { return "table"; }
    std::string operator()(const layouts::RecordSpec&) const { return "record"; }
    std::string operator()(const JsonShape&) const { return "json"; }
};

struct LayoutKeys {
    std::string operator()(const layouts::TableSpec& spec) const {
        std::string text = key("edges", in_toml(word_of(spec.edges)));
        text += key("columns", in_toml(spec.columns));
        if (!spec.header.empty()) {
            std::string lines;
            for (const auto& line : spec.header)
                lines += (lines.empty() ? "[" : ", ") + in_toml(line);
            text += key("header", lines + "]");
        }
        // A box parts its cells however they are aligned.
        if (!spec.right_aligned.empty())
            text += key("right-aligned", in_toml(spec.right_aligned));
        if (spec.wraps)
            text += key("wraps", "true");
        if (spec.rows_after_blank)
            text += key("rows-after-blank", "true");
        if (spec.gap != 1)
            text += key("gap", std::to_string(spec.gap));
        return text;
    }
    std::string operator()(const layouts::RecordSpec& spec) const {
        std::string text;
        if (!spec.heading.empty())
            text += key("heading", in_toml(spec.heading));
        text += key("separator", in_toml(word_of(spec.separator)));
        text += key("labels", in_toml(spec.labels));
        if (!spec.lists.empty())
            text += key("lists", in_toml(spec.lists));
        if (spec.several)
            text += key("several", "true");
        return text;
    }
    std::string operator()(const JsonShape& shape) const {
        std::string text = key("rows", in_toml(shape.rows));
        if (!shape.pass_over.empty())
            text += key("pass-over", in_toml(shape.pass_over));
        return text;
    }
};

std::string told_unread(const Shape& shape) {
    if (shape.unread.empty())
        return {};
    const state::UnreadLine& first = shape.unread.front();
    return "# " + std::to_string(shape.unread.size()) +
           " lines of the text are not read so; the first is line " + std::to_string(first.line) +
           ",\n# " + in_comment(first.text) + ": `slotwitness read` shows where it stops.\n";
}

std::string footers(const QueryDraft& query) {
    std::string text;
    if (!query.pass_over.empty())
        text += "# Say these lines really nothing of the state?\n" +
                key("pass-over", in_toml(query.pass_over));
    if (!query.footer_rules.empty())
        text += "# A line with numbers that may be others next time; see [grammar].\n" +
                key("pass-over-rules", in_toml(query.footer_rules));
    if (!query.none.empty())
        text += key("empty", in_toml(std::vector{query.none}));
    return text;
}

std::string cells(const QueryDraft& query) {
    std::size_t width = 0;
    std::vector<std::string> labels;
    for (const Column& column : query.shape.columns) {
        labels.push_back(in_toml(column.label));
        width = std::max(width, labels.back().size());
    }
    std::string text;
    for (std::size_t i = 0; i < labels.size(); ++i) {
        const CellDraft& cell = query.cells[i];
        text += labels[i] + std::string(width - labels[i].size(), ' ') + " = " + cell.meaning +
                (cell.comment.empty() ? "" : "  # " + cell.comment) + "\n";
    }
    return text;
}

} // namespace

std::string write_words(const WordLists& words) {
    std::string text;
    for (const auto& [list, members] : words) {
        text += "[words." + list +
                "]\n\"(not mapped yet)\" = \"oper unknown\"  # keeps the list "
                "valid; remove it once a word below is mapped\n";
        for (const std::string& word : members)
            text += "# " + in_toml(word) + " = \"oper ?\"\n";
        text += "\n";
    }
    return text;
}

std::string write_query(const QueryDraft& query) {
    const std::string table = "query." + query.id;
    const std::string layout = std::visit(LayoutWord{}, query.shape.layout);
    std::string text = told_unread(query.shape);
    if (!query.none.empty())
        text +=
            "# This text says that there are none: draft the layout again from one with rows.\n";
    text += "[" + table + "]\n";
    text += "ask    = [\"not-written-yet\"]  # the command, a text a word\n";
    text += "kind   = \"module\"  # what is each row?\n";
    text += "lists  = false  # true, if a whole answer names every present one\n";
    if (query.names_none)
        text += "name-is = " + in_toml(query.id) + "  # what is the one component called?\n";
    text += "layout = " + in_toml(layout) + "\n";
    text += "[" + table + "." + layout + "]\n" + std::visit(LayoutKeys{}, query.shape.layout) +
            footers(query);
    return text + "[" + table + ".cells]\n" + cells(query);
}

std::string abnf_of(const std::string& line) {
    const auto is_digit = [](char byte) { return byte >= '0' && byte <= '9'; };
    const auto can_stand = [](char byte) { return byte >= ' ' && byte <= '~' && byte != '"'; };
    if (line.size() > 120 || std::none_of(line.begin(), line.end(), is_digit) ||
        !std::all_of(line.begin(), line.end(), can_stand))
        return {};
    std::string rule;
    for (std::size_t at = 0; at < line.size();) {
        const std::size_t begin = at;
        const bool digits = is_digit(line[at]);
        while (at < line.size() && is_digit(line[at]) == digits)
            ++at;
        rule += (rule.empty() ? "" : " ");
        rule += digits ? "1*DIGIT" : "%s\"" + line.substr(begin, at - begin) + "\"";
    }
    return rule + " *SP";
}

} // namespace slotwitness::draft
