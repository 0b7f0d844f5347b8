#pragma once

#include "line_rules.hpp"
#include "sheet.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// Blocks of `label: value` lines. A block begins with a heading line ("Tray TRAY1"), whose words
/// after `heading` become the cell of that label; or, without a heading, at the first label after a
/// blank line.
struct RecordSpec {
    enum class Separator {
        colon,  ///< label: value
        equals, ///< label = value
        dots,   ///< label ....... value, two dots or more
    };
    std::string
        heading{}; ///< the first word(s) of a heading line; empty: blocks are parted by blank lines
    Separator separator = Separator::colon;
    /// Every label that may stand; another is unread. "Power > Condition" is a label Condition that
    /// is indented below a line "Power" (or "Power:").
    std::vector<std::string> labels{};
    std::vector<std::string> pass_over{};
    std::vector<std::string> empty{};
    LineMatcher pass_over_rules{}; ///< lines passed over too, described in ABNF
    /// Those of `labels` whose value is a list: what is indented below them, an item a line,
    /// perhaps after
    /// "- " or "* ". The items, and what stands beside the label, are joined by ", ".
    std::vector<std::string> lists{};
    /// A line may have several pairs, parted by two or more blanks.
    bool several = false;
};

/// What parts the labels of a hierarchy in `RecordSpec::labels`.
inline constexpr std::string_view below = " > ";
/// How deep such a hierarchy may be.
inline constexpr std::size_t most_levels = 8;

/// A label that stands twice in one block or line, a line without separator, a value outside a
/// block: unread. A line that was not read ends its block, for it may have been the heading of the
/// next one: the labels after it are unread up to the next heading (or blank line). An answer
/// without a block or a line of `empty` has an unread line that says so; an empty text in `empty`
/// lets it be empty. `ended` as for tables.
[[nodiscard]] Leftover read_record(std::string_view answer, const RecordSpec& spec, bool ended,
                                   const TakeBlock& take, Octets octets = Octets::any);

} // namespace slotwitness::layouts
