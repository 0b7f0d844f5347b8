#pragma once

#include <slotwitness/state/reading.hpp>

#include <cstddef>
#include <string>
#include <vector>

namespace slotwitness::layouts {

/// One cell of a table or one value of a record, trimmed of blanks; empty cells are kept.
struct Cell {
    std::string label; ///< the column's header, or the record's label
    std::string text;  ///< lines of a wrapped cell joined by one blank
    state::Position at;
    friend bool operator==(const Cell&, const Cell&) = default;
};

/// A table's row or a record's block: what every layout gives, so that profiles need not know
/// which.
struct Block {
    state::Position at;
    std::string text; ///< the lines it was read from, joined by LF, without their line ends
    std::vector<Cell> cells;
    bool complete = true; ///< false: lines that belong to it may be unread or cut off
    friend bool operator==(const Block&, const Block&) = default;
};

/// An answer cut into blocks. Every line is in a block, in `unread`, or was passed over because the
/// specification names it (headers, rules, blank lines, `pass_over`).
struct Sheet {
    std::vector<Block> blocks;
    std::vector<state::UnreadLine> unread;
    std::vector<std::size_t> set_aside; ///< numbers of the lines that `pass_over` names
    friend bool operator==(const Sheet&, const Sheet&) = default;
};

/// Bounds of every layout; what exceeds them is reported as unread lines, never dropped.
inline constexpr std::size_t longest_line = 16 * 1024; ///< bytes: no device prints a wider row
inline constexpr std::size_t most_columns = 64;

} // namespace slotwitness::layouts
