#pragma once

#include "glyphs.hpp"
#include "table_lines.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// A column as the header, the rule line or the border line shows it, in places of `Glyphs`.
struct Column {
    std::string_view label;
    std::size_t begin = 0;
    std::size_t end = 0;
    bool right_aligned = false;
};

/// Where a row does not fit its columns.
struct Misfit {
    std::size_t place = 0;
    std::string expected;
};

/// The trimmed cells of one line, in places of its glyphs; an empty cell has begin == end.
using Cuts = std::vector<Stretch>;

/// Cuts by where the words of the header stand. Each fills `cuts`, or says where the row does not
/// fit.
[[nodiscard]] std::optional<Misfit>
cut_under_header(const Glyphs& row, const std::vector<Column>& columns, Cuts& cuts);
/// Cuts by the runs of the rule line: outside of them there is nothing.
[[nodiscard]] std::optional<Misfit> cut_under_rule(const Glyphs& row,
                                                   const std::vector<Column>& columns, Cuts& cuts);
/// Cuts by bars. A column is what stands between two of them; a column that begins at 0 or ends
/// where the line does may have none on that side.
[[nodiscard]] std::optional<Misfit> cut_in_box(const Glyphs& row,
                                               const std::vector<Column>& columns, Cuts& cuts);
/// Cuts at runs of at least `gap` blanks; the last column takes the rest of the line, which may be
/// empty.
[[nodiscard]] std::optional<Misfit>
cut_at_blanks(const Glyphs& row, const std::vector<Column>& columns, std::size_t gap, Cuts& cuts);

} // namespace slotwitness::layouts
