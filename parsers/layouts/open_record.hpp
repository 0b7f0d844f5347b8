#pragma once

#include "sheet.hpp"

#include <deque>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// A record's block while lines may still be added to it.
class OpenRecord {
  public:
    void begin(state::Position at, std::string_view line);
    /// Another line that it was read from.
    void add_line(std::string_view line) { text_.append("\n").append(line); }
    /// Its texts outlive the block.
    void add(const Cell& cell) { cells_.push_back(cell); }
    /// Adds to the value of the last cell, which is a list.
    void add_item(std::string_view item, state::Position at);
    void drop_last() { cells_.pop_back(); }
    [[nodiscard]] bool has(std::string_view label) const;
    void close(const TakeBlock& take, bool complete);

  private:
    state::Position at_;
    std::string text_;
    std::vector<Cell> cells_;
    std::deque<std::string> joined_; ///< values of lists: a deque leaves the others where they are
};

} // namespace slotwitness::layouts
