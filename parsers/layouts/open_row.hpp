#pragma once

#include "lines.hpp"
#include "sheet.hpp"
#include "table_rows.hpp"

#include <string>
#include <vector>

namespace slotwitness::layouts {

/// A row while lines below may still continue it. Its memory serves the next row too: a row costs
/// no allocation, a cell only where it wraps.
class OpenRow {
  public:
    [[nodiscard]] bool is_open() const { return open_; }

    /// `cuts` in bytes of the line; `group`: a cell of the line that heads this row's group, may be
    /// null.
    void begin(const Line& line, const Cuts& cuts, const std::vector<Column>& columns,
               const Cell* group);
    void go_on(const Line& line, const Cuts& cuts);
    /// A row that no line can continue: handed over at once. None may be open.
    void pass(const Line& line, const Cuts& cuts, const std::vector<Column>& columns,
              const Cell* group, const TakeBlock& take);
    /// Hands it over, if there is one.
    void close(const TakeBlock& take);
    /// A row of which a line is missing or unread is not the row that the device printed.
    void give_up(std::vector<state::UnreadLine>& unread);

  private:
    void fill(const Line& line, const Cuts& cuts, const std::vector<Column>& columns,
              const Cell* group);

    bool open_ = false;
    Line first_;
    std::vector<Line> more_; ///< lines that continue it
    std::vector<Cell> cells_;
    std::vector<std::string> joined_; ///< texts of cells that wrap, a place a cell
    std::string text_;                ///< of a row that wraps
    state::Position at_;
};

} // namespace slotwitness::layouts
