#include "state_table.hpp"

#include "terminal.hpp"

#include <slotwitness/marked/legible.hpp>

#include <algorithm>
#include <string>

namespace slotwitness::program {

using marked::legible;
using state::Attribute;

namespace {

constexpr const char* not_told = "not told"; // a blank could be taken for "nothing is wrong"
constexpr std::size_t least_of_a_line = 20;  // less of the device's line tells nobody anything

/// A column's place: the label is what a person looks for, and long words stand at the end.
int rank(Attribute attribute) {
    if (attribute == Attribute::label)
        return 0;
    return attribute == Attribute::part || attribute == Attribute::text ? 2 : 1;
}

std::vector<Attribute> attributes_of(const std::vector<const state::Row*>& rows) {
    std::vector<Attribute> found;
    for (const Attribute attribute : state::words_of<Attribute>())
        if (std::ranges::any_of(
                rows, [&](const state::Row* row) { return row->facts.contains(attribute); }))
            found.push_back(attribute);
    std::ranges::stable_sort(found, {}, rank);
    return found;
}

/// On one line, each run of blanks as one.
std::string in_one_line(const std::string& text) {
    std::string line;
    for (const char byte : text) {
        const char next = byte == '\n' || byte == '\t' ? ' ' : byte;
        if (next != ' ' || (!line.empty() && line.back() != ' '))
            line += next;
    }
    if (line.ends_with(' '))
        line.pop_back();
    return legible(line).text;
}

} // namespace

Table state_table(state::Kind kind, const std::vector<const state::Row*>& rows,
                  std::size_t columns) {
    const std::vector<Attribute> attributes = attributes_of(rows);
    Table table;
    table.headings.emplace_back(state::to_word(kind));
    for (const Attribute attribute : attributes)
        table.headings.emplace_back(state::to_word(attribute));
    for (const state::Row* row : rows) {
        std::vector<std::string> cells{legible(row->name).text};
        for (const Attribute attribute : attributes) {
            const auto fact = row->facts.find(attribute);
            cells.push_back(fact == row->facts.end() ? not_told
                                                     : legible(to_text(fact->second.value)).text);
        }
        table.rows.push_back(std::move(cells));
    }
    const std::size_t taken = width_of(table);
    if (taken + column_gap + least_of_a_line > columns)
        return table;
    table.headings.emplace_back("the device's own line");
    for (std::size_t at = 0; at < rows.size(); ++at)
        table.rows[at].push_back(cut(in_one_line(rows[at]->text), columns - taken - column_gap));
    return table;
}

} // namespace slotwitness::program
