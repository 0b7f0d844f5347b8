#pragma once

#include <cstddef>
#include <string_view>

namespace slotwitness::terminal {

/// Bounds of one control function. What exceeds them is broken, and its line unread.
inline constexpr std::size_t longest_parameters = 64; ///< bytes: no known function needs half of it
inline constexpr std::size_t most_intermediates = 4;  ///< ECMA-48, 5.4: one will be sufficient
inline constexpr std::size_t longest_string = 4096;   ///< characters: window titles, hyperlinks

enum class Form {
    character,      ///< a code point of UTF-8, or a byte that is part of none and no control
    fill,           ///< one or more NUL
    sequence,       ///< CSI … final byte
    string,         ///< OSC, DCS, SOS, PM or APC up to its end
    escape,         ///< ESC … final byte
    unended_string, ///< the opener of a string that has no end in this line, or is not well-formed
    broken,         ///< ESC or CSI that begins nothing whole
    control,        ///< any other control of C0 or C1, DEL
};

struct Token {
    Form form = Form::character;
    std::string_view bytes;         ///< never empty
    std::string_view parameters;    ///< of a sequence
    std::string_view intermediates; ///< of a sequence
    friend bool operator==(const Token&, const Token&) = default;
};

/// The token at the beginning of `line`, which is not empty and has no LF.
[[nodiscard]] Token read_token(std::string_view line);

} // namespace slotwitness::terminal
