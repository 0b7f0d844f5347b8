#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// The grammars of table_grammar.hpp behind plain functions.
namespace slotwitness::layouts {

/// A stretch of a line, in bytes from 0.
struct Stretch {
    std::size_t begin = 0;
    std::size_t end = 0;
    friend bool operator==(const Stretch&, const Stretch&) = default;
};

/// Where each of `words` stands, if the line is these words in this order, parted by blanks.
[[nodiscard]] std::optional<std::vector<Stretch>>
parse_header(std::string_view line, const std::vector<std::string>& words);
/// The same, where bars of a box may part them too.
[[nodiscard]] std::optional<std::vector<Stretch>>
parse_boxed_header(std::string_view line, const std::vector<std::string>& words);
/// The runs of dashes, if the line has nothing else.
[[nodiscard]] std::optional<std::vector<Stretch>> parse_rule(std::string_view line);
/// The junctions of a border line of a box ("+---+---+", "├──┼──┤"), each the stretch of its one
/// glyph; at least one dash stands beside them.
[[nodiscard]] std::optional<std::vector<Stretch>> parse_border(std::string_view line);
/// Whether the glyph at the beginning of `text` is an upright bar of a box.
[[nodiscard]] bool begins_with_bar(std::string_view text);

} // namespace slotwitness::layouts
