#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace slotwitness::program {

/// A heading and a cell a row; a row may have fewer cells.
struct Table {
    std::vector<std::string> headings;
    std::vector<std::vector<std::string>> rows;
};

inline constexpr std::size_t column_gap = 2;

/// Columns that all of it takes, side by side.
[[nodiscard]] std::size_t width_of(const Table& table);

/// Lines of at most so many columns, as far as words allow. Columns stand from the left as long as
/// they fit; what does not stands under its row, each cell after its heading. Nothing is cut.
[[nodiscard]] std::string fitted(const Table& table, std::size_t columns);

} // namespace slotwitness::program
