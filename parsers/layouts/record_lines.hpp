#pragma once

#include "record.hpp"

#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

/// The grammar of record_grammar.hpp behind plain functions.
namespace slotwitness::layouts {

/// One pair as it stands in its line, trimmed; the value is empty where nothing follows the
/// separator.
struct Pair {
    std::string_view label;
    std::string_view value;
};

[[nodiscard]] std::optional<Pair> parse_pair(std::string_view text,
                                             RecordSpec::Separator separator);

/// A line cut where two or more blanks stand inside it, without its indentation.
[[nodiscard]] std::vector<std::string_view> cut_at_wide_blanks(std::string_view line);

/// "1" of "- 1" or "* 1"; other text as it is.
[[nodiscard]] std::string_view without_bullet(std::string_view item);

} // namespace slotwitness::layouts
