#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace slotwitness::program {

/// Of the terminal behind this descriptor; 0 if it is none, or one that cannot move its cursor.
[[nodiscard]] std::size_t columns_of_terminal(int descriptor);

/// How many columns a legible text takes: two for a wide character, none for one that combines.
[[nodiscard]] std::size_t places(std::string_view text);

/// The beginning of a line that fits so many columns, with "…" where it was cut.
[[nodiscard]] std::string cut(std::string_view line, std::size_t columns);

/// `first` and the text behind it on one line with its LF; on a terminal of so many columns broken
/// between words, and what goes on stands under the text. 0: it is no terminal.
[[nodiscard]] std::string readable(std::string_view first, std::string_view text,
                                   std::size_t columns);

} // namespace slotwitness::program
