#include "table.hpp"

#include "terminal.hpp"

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

/// Breaks between words; a word that is longer than the line stands whole.
std::string wrapped(std::string_view text, std::size_t columns) {
    std::string lines, line{under};
    bool is_begun = false;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find(' '), text.size());
        const std::string_view word = text.substr(0, end);
        if (is_begun && places(line) + 1 + places(word) > columns) {
            lines += line + '\n';
            line = std::string{under} + "  ";
            is_begun = false;
        }
        line.append(is_begun ? " " : "").append(word);
        is_begun = true;
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return lines + line + '\n';
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
            text += wrapped(rest, columns);
    }
    return text;
}

} // namespace slotwitness::program
