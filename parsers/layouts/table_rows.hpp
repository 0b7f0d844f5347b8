#pragma once

#include "glyphs.hpp"
#include "table_lines.hpp"

#include <tl/expected.hpp>

#include <cstddef>
#include <string>
#include <vector>

namespace slotwitness::layouts {

/// A column as the header or the rule line shows it, in places of `Glyphs`.
struct Column {
    std::string label;
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

/// Cuts by where the words of the header stand.
[[nodiscard]] tl::expected<Cuts, Misfit> cut_under_header(const Glyphs& row,
                                                          const std::vector<Column>& columns);
/// Cuts by the runs of the rule line: outside of them there is nothing.
[[nodiscard]] tl::expected<Cuts, Misfit> cut_under_rule(const Glyphs& row,
                                                        const std::vector<Column>& columns);

} // namespace slotwitness::layouts
