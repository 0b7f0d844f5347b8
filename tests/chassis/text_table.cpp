#include "text_table.hpp"

#include <algorithm>
#include <sstream>

namespace slotwitness::chassis {
namespace {

using Lines = std::vector<std::string>;

Lines wrapped(const std::string& text, std::size_t width) {
    Lines lines;
    std::istringstream words(text);
    for (std::string word; words >> word;) {
        if (lines.empty() || lines.back().size() + 1 + word.size() > width)
            lines.push_back(word);
        else
            lines.back().append(" ").append(word);
    }
    return lines;
}

std::vector<Lines> cells_of(const std::vector<Column>& columns,
                            const std::vector<std::string>& row) {
    std::vector<Lines> cells;
    for (std::size_t index = 0; index < columns.size(); ++index)
        cells.push_back(columns[index].wraps ? wrapped(row[index], *columns[index].wraps)
                                             : Lines{row[index]});
    return cells;
}

std::string padded(const std::string& text, std::size_t width, bool right) {
    const std::string blanks(width - text.size(), ' ');
    return right ? blanks + text : text + blanks;
}

std::string line_of(const std::vector<Column>& columns, const std::vector<std::size_t>& widths,
                    const Lines& texts) {
    std::string line;
    for (std::size_t index = 0; index < columns.size(); ++index)
        line.append(index == 0 ? "" : "  ")
            .append(padded(texts[index], widths[index], columns[index].right));
    line.erase(line.find_last_not_of(' ') + 1);
    return line + "\n";
}

} // namespace

std::string to_text(const TextTable& table) {
    std::vector<std::vector<Lines>> rows;
    for (const auto& row : table.rows)
        rows.push_back(cells_of(table.columns, row));

    std::vector<std::size_t> widths;
    Lines headers;
    Lines dashes;
    for (std::size_t index = 0; index < table.columns.size(); ++index) {
        std::size_t width = table.columns[index].header.size();
        for (const auto& row : rows)
            for (const auto& line : row[index])
                width = std::max(width, line.size());
        widths.push_back(width);
        headers.push_back(table.columns[index].header);
        dashes.emplace_back(width, '-');
    }
    std::string head = line_of(table.columns, widths, headers);
    if (table.rule)
        head += line_of(table.columns, widths, dashes);

    std::string text;
    for (std::size_t number = 0; number < rows.size(); ++number) {
        if (number == 0 || (table.header_every && number % *table.header_every == 0))
            text += head;
        std::size_t height = 0;
        for (const auto& cell : rows[number])
            height = std::max(height, cell.size());
        for (std::size_t line = 0; line < height; ++line) {
            Lines texts;
            for (const auto& cell : rows[number])
                texts.push_back(line < cell.size() ? cell[line] : "");
            text += line_of(table.columns, widths, texts);
        }
    }
    return rows.empty() ? head : text;
}

std::string to_text(const TextRecord& record) {
    std::string text = record.heading + "\n";
    for (const auto& [label, value] : record.values)
        text.append(label).append(value.empty() ? ":" : ": ").append(value).append("\n");
    return text;
}

} // namespace slotwitness::chassis
