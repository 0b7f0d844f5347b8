#pragma once

#include <cstddef>
#include <string>
#include <string_view>

/// A device's text as a terminal may safely show it. Pure.
namespace slotwitness::marked {

/// Text for one line of a terminal: control functions and what is not UTF-8 are spelt out ("\x1B"),
/// and so are the code points that turn the direction of writing, so that what is seen is what is
/// there.
struct Legible {
    std::string text;
    std::size_t width = 0; ///< one place a code point
};
[[nodiscard]] Legible legible(std::string_view bytes);

/// How far from the left, in places of `legible(line)`, the byte at `column` (from 1) stands.
[[nodiscard]] std::size_t place_of(std::string_view line, std::size_t column);

} // namespace slotwitness::marked
