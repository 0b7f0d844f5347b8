#include "table_edges.hpp"

#include "lines.hpp"
#include "table_lines.hpp"

#include <algorithm>
#include <limits>

namespace slotwitness::layouts {
namespace {

using Edges = TableSpec::Edges;

std::vector<std::size_t> places_of(const std::vector<Stretch>& stretches, const Glyphs& line) {
    std::vector<std::size_t> places;
    for (const Stretch& stretch : stretches)
        places.push_back(line.place_of(stretch.begin));
    return places;
}

} // namespace

TableEdges::TableEdges(const TableSpec& spec) : spec_(spec) {
    if (spec.edges == Edges::blanks && spec.header.empty())
        for (const std::string& label : spec.columns)
            columns_.push_back({label});
}

std::optional<Misfit> TableEdges::begin(const std::vector<Column>& of_header) {
    columns_ = of_header;
    rule_.clear();
    for (std::size_t i = 1; i < columns_.size(); ++i)
        if (columns_[i].begin <= columns_[i - 1].end)
            return Misfit{columns_[i].begin, "the header of " + in_quotes(columns_[i].label) +
                                                 " right of all of " +
                                                 in_quotes(columns_[i - 1].label)};
    return std::nullopt;
}

std::optional<Misfit> TableEdges::take_widths(const Glyphs& line) {
    return spec_.edges == Edges::rule ? widths_from_rule(line) : widths_from_border(line);
}

bool TableEdges::take_underline(std::string_view line) {
    const auto runs = parse_rule(line);
    const bool underlines = runs && std::all_of(runs->begin(), runs->end(), [](const Stretch& run) {
                                return run.end - run.begin > 1;
                            });
    if (underlines)
        rule_ = without_trailing_blanks(line);
    return underlines;
}

bool TableEdges::has_rule(std::string_view line) const {
    return line.starts_with(rule_) && is_blank(line.substr(rule_.size()));
}

bool TableEdges::is_border(const Glyphs& line, bool before_header) const {
    const auto junctions = parse_border(line.line());
    return junctions && (before_header || places_of(*junctions, line) == junctions_);
}

std::optional<Misfit> TableEdges::cut(const Glyphs& row, Cuts& cuts) const {
    switch (spec_.edges) {
    case Edges::header:
        return cut_under_header(row, columns_, cuts);
    case Edges::rule:
        return cut_under_rule(row, columns_, cuts);
    case Edges::box:
        return cut_in_box(row, columns_, cuts);
    case Edges::blanks:
        return cut_at_blanks(row, columns_, spec_.gap, cuts);
    }
    __builtin_unreachable();
}

std::optional<Misfit> TableEdges::widths_from_rule(const Glyphs& line) {
    const auto runs = parse_rule(line.line());
    if (!runs)
        return Misfit{0, "a line of dashes under the header"};
    if (runs->size() != columns_.size())
        return Misfit{line.size(),
                      std::to_string(columns_.size()) + " runs of dashes, one a column"};
    for (std::size_t i = 0; i < columns_.size(); ++i) {
        const Stretch run = (*runs)[i]; // dashes are one byte a place
        if (columns_[i].begin < run.begin || columns_[i].end > run.end)
            return Misfit{run.begin, "dashes under all of " + in_quotes(columns_[i].label)};
        columns_[i].begin = run.begin;
        columns_[i].end = run.end;
    }
    rule_ = without_trailing_blanks(line.line());
    return std::nullopt;
}

std::optional<Misfit> TableEdges::widths_from_border(const Glyphs& line) {
    const auto found = parse_border(line.line());
    if (!found)
        return Misfit{0, "a border line under the header"};
    junctions_ = places_of(*found, line);
    const std::size_t inner = columns_.size() - 1;
    const bool has_sides = junctions_.size() == inner + 2;
    if (!has_sides && (junctions_.size() != inner || inner == 0))
        return Misfit{line.size(), std::to_string(inner) + " junctions, one between columns, or " +
                                       std::to_string(inner + 2) + " with those at both ends"};
    for (std::size_t i = 0; i < columns_.size(); ++i) {
        const std::size_t left = has_sides ? junctions_[i] + 1 : i == 0 ? 0 : junctions_[i - 1] + 1;
        const std::size_t right = has_sides   ? junctions_[i + 1]
                                  : i < inner ? junctions_[i]
                                              : std::numeric_limits<std::size_t>::max();
        if (columns_[i].begin < left || columns_[i].end > right)
            return Misfit{left, "the border over all of " + in_quotes(columns_[i].label)};
        columns_[i].begin = left;
        columns_[i].end = right;
    }
    return std::nullopt;
}

} // namespace slotwitness::layouts
