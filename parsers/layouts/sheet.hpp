#pragma once

#include <slotwitness/state/reading.hpp>

#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// One cell of a table or one value of a record, trimmed of blanks; empty cells are kept.
struct Cell {
    std::string_view label; ///< the column's header, or the record's label
    std::string_view text;  ///< lines of a wrapped cell joined by one blank
    state::Position at;
    friend bool operator==(const Cell&, const Cell&) = default;
};

/// A table's row or a record's block: what every layout gives, so that profiles need not know
/// which. It shows, and does not own: its texts last as long as the call that it is given to.
struct Block {
    state::Position at;
    std::string_view text; ///< the lines it was read from, joined by LF, without their line ends
    std::span<const Cell> cells;
    bool complete = true;            ///< false: lines that belong to it may be unread or cut off
    std::optional<state::Kind> kind; ///< where the layout itself tells what the component is
};

/// Called with each block as it closes, in the order of the text.
using TakeBlock = std::function<void(const Block&)>;

/// What of an answer is in no block. Every line is in a block, in one of these, or is named by the
/// specification as carrying nothing (headers, rules, blank lines).
struct Leftover {
    std::vector<state::UnreadLine> unread; ///< in the order of the text
    std::vector<std::size_t>
        set_aside;       ///< numbers of the lines that the specification passes over by name
    bool is_cut = false; ///< a document that ends before its own end
    friend bool operator==(const Leftover&, const Leftover&) = default;
};

/// What is known of an answer before a layout reads it.
enum class Octets {
    any,
    plain, ///< nothing but printable ASCII and line ends, LF or CRLF
};

/// Bounds of every layout; what exceeds them is reported as unread lines, never dropped.
inline constexpr std::size_t longest_line = 16 * 1024; ///< bytes: no device prints a wider row
inline constexpr std::size_t most_columns = 64;

} // namespace slotwitness::layouts
