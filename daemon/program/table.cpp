#include "table.hpp"

#include "terminal.hpp"

#include <slotwitness/marked/wrapped.hpp>

#include <algorithm>
#include <string_view>

namespace slotwitness::program {

namespace {

constexpr std::string_view under = "    "; // before what stands under its row

std::vector<std::size_t> widths_of(const Table& table) {
    std::vector<std::size_t> widths;
    for (const std::string& heading : table.headings)
        widths.push_back(places(heading));
    for (const auto& row : table.rows)
        for (std::size_t at = 0; at < row.size(); ++at)
            widths[at] = std::max(widths[at], places(row[at]));
    return widths;
}

std::string in_columns(const std::vector<std::string>& cells,
                       const std::vector<std::size_t>& widths, const std::vector<bool>& beside) {
    std::string line;
    std::size_t blanks = 0; // none at a line's end
    for (std::size_t at = 0; at < cells.size(); ++at) {
        if (!beside[at])
            continue;
        if (!cells[at].empty()) {
            line.append(blanks, ' ').append(cells[at]);
            blanks = 0;
        }
        blanks += widths[at] - places(cells[at]) + column_gap;
    }
    return line + '\n';
}

} // namespace

std::size_t width_of(const Table& table) {
    std::size_t all = 0;
    for (const std::size_t width : widths_of(table))
        all += width + column_gap;
    return all == 0 ? 0 : all - column_gap;
}

std::string fitted(const Table& table, std::size_t columns) {
    const std::vector<std::size_t> widths = widths_of(table);
    std::vector<bool> beside(widths.size(), false);
    std::size_t taken = 0;
    for (std::size_t at = 0; at < widths.size(); ++at)
        if (at == 0 || taken + column_gap + widths[at] <= columns) {
            beside[at] = true;
            taken += widths[at] + (at == 0 ? 0 : column_gap);
        }
    std::string text = in_columns(table.headings, widths, beside);
    for (const auto& row : table.rows) {
        text += in_columns(row, widths, beside);
        std::string rest;
        for (std::size_t at = 0; at < row.size(); ++at)
            if (!beside[at] && !row[at].empty())
                rest += (rest.empty() ? "" : "; ") + table.headings[at] + ' ' + row[at];
        if (!rest.empty())
            text += marked::wrapped(under, rest, columns);
    }
    return text;
}

} // namespace slotwitness::program
