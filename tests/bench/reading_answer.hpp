#pragma once

#include <slotwitness/profiles/profile.hpp>

#include <cstddef>
#include <string>
#include <string_view>

namespace slotwitness::bench {

enum class Shape {
    table,      ///< header, rule line, rows of five columns
    lines,      ///< the same rows alone
    narrow,     ///< `table` with three columns: name, word, quantity
    thin_lines, ///< the same three in lines
};

inline constexpr std::size_t row_bytes = 80; ///< of each shape, line end included

/// As many whole rows as `bytes` hold, all with names of their own.
[[nodiscard]] std::string answer_of(Shape shape, std::size_t bytes);

/// Of a family that was invented for this; each shape is a query.
[[nodiscard]] const profiles::Profile& profile();
[[nodiscard]] std::string_view query_of(Shape shape);

/// Lines above the first row.
[[nodiscard]] std::size_t lines_before_rows(Shape shape);

} // namespace slotwitness::bench
