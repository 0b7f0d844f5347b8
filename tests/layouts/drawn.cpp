#include "drawn.hpp"

#include <algorithm>
#include <ostream>
#include <sstream>

namespace slotwitness::layouts {
namespace {

using TextLines = std::vector<std::string>;
using Edges = TableSpec::Edges;

/// What a person would count: bytes that begin a UTF-8 sequence.
std::size_t width_of(const std::string& text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char byte) {
        return (static_cast<unsigned char>(byte) & 0xc0U) != 0x80U;
    }));
}

rc::Gen<std::string> word() {
    return rc::gen::map(
        rc::gen::resize(7, rc::gen::nonEmpty(rc::gen::container<std::vector<std::string>>(
                               rc::gen::element<std::string>("a", "b", "z", "0", "7", ".", "/", "°",
                                                             "ß", ",")))),
        [](const std::vector<std::string>& letters) {
            std::string text;
            for (const std::string& letter : letters)
                text += letter;
            return text;
        });
}

rc::Gen<std::string> phrase(int most_words) {
    return rc::gen::exec([most_words] {
        std::string text = *word();
        for (int i = *rc::gen::inRange(0, most_words); i > 0; --i)
            text.append(" ").append(*word());
        return text;
    });
}

TextLines broken(const std::string& text, std::size_t words_a_line) {
    TextLines lines;
    std::istringstream words{text};
    std::size_t count = 0;
    for (std::string one; words >> one; ++count) {
        if (count % words_a_line == 0)
            lines.push_back(one);
        else
            lines.back().append(" ").append(one);
    }
    return lines.empty() ? TextLines{""} : lines;
}

struct Drawing {
    std::vector<std::string> labels;
    std::vector<bool> right;
    std::vector<std::size_t> widths;
    std::size_t gap = 2;
    bool trims = false;
    std::string line_end = "\n";

    [[nodiscard]] std::string line(const TextLines& cells) const {
        std::string text;
        for (std::size_t i = 0; i < cells.size(); ++i) {
            const std::string padding(widths[i] - width_of(cells[i]), ' ');
            text.append(i == 0 ? 0 : gap, ' ')
                .append(right[i] ? padding + cells[i] : cells[i] + padding);
        }
        if (trims)
            text.erase(text.find_last_not_of(' ') + 1);
        return text + line_end;
    }
};

DrawnTable draw() {
    DrawnTable table;
    Drawing drawing;
    const bool by_rule = *rc::gen::arbitrary<bool>();
    table.spec.edges = by_rule ? Edges::rule : Edges::header;
    table.spec.wraps = *rc::gen::arbitrary<bool>();
    // One blank between columns is told from one inside a cell only by a rule.
    drawing.gap =
        by_rule ? *rc::gen::inRange<std::size_t>(1, 4) : *rc::gen::inRange<std::size_t>(2, 4);
    drawing.trims = *rc::gen::arbitrary<bool>();
    drawing.line_end = *rc::gen::element<std::string>("\n", "\r\n");

    const auto columns = *rc::gen::inRange<std::size_t>(1, 6);
    for (std::size_t i = 0; i < columns; ++i) {
        const std::string label =
            *rc::gen::element<std::string>("SLOT", "WHAT IT IS", "N", "CARRIES UP TO", "GRÖSSE");
        drawing.labels.push_back(label + std::to_string(i));
        drawing.right.push_back(*rc::gen::weightedElement<bool>({{2, false}, {1, true}}));
        if (drawing.right.back())
            table.spec.right_aligned.push_back(drawing.labels.back());
    }
    table.spec.columns = drawing.labels;

    std::vector<std::vector<TextLines>> drawn;
    const auto rows = *rc::gen::inRange<std::size_t>(0, 8);
    for (std::size_t row = 0; row < rows; ++row) {
        table.rows.emplace_back();
        drawn.emplace_back();
        bool blank = true;
        for (std::size_t i = 0; i < columns; ++i) {
            const bool names_it = i == 0 && table.spec.wraps;
            std::string cell = *phrase(4);
            if (!names_it && *rc::gen::inRange(0, 3) == 0 && !(i + 1 == columns && blank))
                cell.clear();
            blank = blank && cell.empty();
            const bool breaks = table.spec.wraps && i > 0 && *rc::gen::arbitrary<bool>();
            drawn.back().push_back(breaks ? broken(cell, 2) : TextLines{cell});
            table.rows.back().push_back(cell);
        }
    }
    for (std::size_t i = 0; i < columns; ++i) {
        std::size_t width = width_of(drawing.labels[i]);
        for (const auto& row : drawn)
            for (const std::string& cell : row[i])
                width = std::max(width, width_of(cell));
        drawing.widths.push_back(width);
    }

    std::string header = drawing.line(drawing.labels);
    if (by_rule) {
        TextLines dashes;
        for (const std::size_t width : drawing.widths)
            dashes.emplace_back(width, '-');
        header += drawing.line(dashes);
    }
    const auto header_every = *rc::gen::inRange<std::size_t>(1, 12);
    for (std::size_t row = 0; row < std::max<std::size_t>(rows, 1); ++row) {
        if (row % header_every == 0)
            table.text += header;
        std::size_t height = 0;
        if (row < rows)
            for (const TextLines& cell : drawn[row])
                height = std::max(height, cell.size());
        for (std::size_t line = 0; line < height; ++line) {
            TextLines cells;
            for (const TextLines& cell : drawn[row])
                cells.push_back(line < cell.size() ? cell[line] : "");
            table.text += drawing.line(cells);
        }
    }
    return table;
}

} // namespace

rc::Gen<DrawnTable> any_table() {
    return rc::gen::exec([] { return draw(); });
}

} // namespace slotwitness::layouts

void rc::showValue(const slotwitness::layouts::DrawnTable& table, std::ostream& out) {
    out << (table.spec.edges == slotwitness::layouts::TableSpec::Edges::rule ? "rule" : "header")
        << (table.spec.wraps ? ", wraps" : "") << '\n'
        << table.text;
}
