#pragma once

#include <slotwitness/layouts/free_text.hpp>
#include <slotwitness/layouts/record.hpp>
#include <slotwitness/layouts/table.hpp>

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// What answers must be read as, found in ways that share nothing with the layouts but their
/// specifications: written from the comments of their headers, a line after the other, slow and
/// plain enough to be believed.
namespace slotwitness::reference {

struct Cell {
    std::string label;
    std::string text;
    std::size_t line = 0; ///< 0 for an empty cell, whose place nobody promises
    std::size_t column = 0;
    friend bool operator==(const Cell&, const Cell&) = default;
};

struct Block {
    std::size_t line = 0;
    std::size_t column = 0;
    std::string text;
    std::vector<Cell> cells;
    bool complete = true;
    friend bool operator==(const Block&, const Block&) = default;
};

struct Sheet {
    std::vector<Block> blocks;
    std::vector<std::pair<std::size_t, std::string>> unread; ///< number and text
    std::vector<std::size_t> set_aside;
    friend bool operator==(const Sheet&, const Sheet&) = default;
};

/// With edges `header` and `rule`; without headings, groups, several printed lines of a header and
/// rules in ABNF.
[[nodiscard]] Sheet read_table(std::string_view answer, const layouts::TableSpec& spec, bool ended);
/// Without rules in ABNF.
[[nodiscard]] Sheet read_record(std::string_view answer, const layouts::RecordSpec& spec,
                                bool ended);
/// Nothing where matching would take too long.
[[nodiscard]] std::optional<Sheet> read_lines(std::string_view answer,
                                              const layouts::LinesSpec& spec, bool ended);

struct Line {
    std::size_t number = 0;
    std::string text;
    bool cut = false; ///< the answer stops in it
};
[[nodiscard]] std::vector<Line> lines_of(std::string_view answer, bool ended);
[[nodiscard]] std::string trimmed(const std::string& text);
[[nodiscard]] bool is_one_of(const std::string& line, const std::vector<std::string>& whole);
/// A control byte stands in it, or it is longer than any device's.
[[nodiscard]] bool cannot_be_read(const std::string& line, bool tabs_too);
/// The line of an unread end: the last one, or line 1 of an answer without lines.
[[nodiscard]] std::pair<std::size_t, std::string> end_of(const std::vector<Line>& lines);

} // namespace slotwitness::reference
