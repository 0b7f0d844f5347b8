#pragma once

#include "sheet.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// Blocks of `label: value` lines. A block begins with a heading line ("Tray TRAY1"), whose words
/// after `heading` become the cell of that label; or, without a heading, at the first label after a
/// blank line.
struct RecordSpec {
    std::string
        heading; ///< the first word(s) of a heading line; empty: blocks are parted by blank lines
    std::string separator = ":";     ///< between label and value: ":" or "="
    std::vector<std::string> labels; ///< every label that may stand; another is unread
    std::vector<std::string> pass_over;
    std::vector<std::string> empty;
};

/// A label that stands twice in one block, a line without separator, a value outside a block:
/// unread. A line that was not read ends its block, for it may have been the heading of the next
/// one: the labels after it are unread up to the next heading (or blank line). An answer without a
/// block or a line of `empty` has an unread line that says so; an empty text in `empty` lets it be
/// empty. `ended` as for tables.
[[nodiscard]] Sheet read_record(std::string_view answer, const RecordSpec& spec, bool ended);

} // namespace slotwitness::layouts
