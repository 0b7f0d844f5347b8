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

/// Where each of `columns` stands, if the line is these words in this order, parted by blanks.
[[nodiscard]] std::optional<std::vector<Stretch>>
parse_header(std::string_view line, const std::vector<std::string>& columns);
/// The runs of dashes, if the line has nothing else.
[[nodiscard]] std::optional<std::vector<Stretch>> parse_rule(std::string_view line);
/// The words parted by blanks.
[[nodiscard]] std::optional<std::vector<Stretch>> parse_words(std::string_view line);

} // namespace slotwitness::layouts
