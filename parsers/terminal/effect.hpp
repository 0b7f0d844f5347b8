#pragma once

#include "token.hpp"

#include <cstddef>
#include <string>

namespace slotwitness::terminal {

/// What a control function does to the line on which it stands.
struct Effect {
    enum class Kind {
        look,           ///< colours, titles, keypad, the cursor's own look: not the text
        back,           ///< the cursor goes left by `count` characters, at most to the first
        home,           ///< the cursor goes to the first character of the line
        erase_to_end,   ///< from the cursor on
        erase_to_begin, ///< up to the cursor and under it
        erase_line,
        tab,
        plain_set, ///< bytes after it are ASCII or UTF-8 again (G0)
        other_set, ///< bytes after it stand for other characters (G0)
        shift_in,  ///< characters come from G0
        shift_out, ///< characters come from G1
        in_line,   ///< not undone: this line is not what its characters say
        mode,      ///< not undone: nor may the lines after it be
        elsewhere, ///< not undone: nor may the lines before it be. Anything unknown
    };
    Kind kind = Kind::elsewhere;
    std::size_t count = 0;
    friend bool operator==(const Effect&, const Effect&) = default;
};

/// Of a token that is neither a character nor fill. From ECMA-48, 5th edition, 8.3, and, for what
/// is private to terminals ("?25l", keypad modes, window titles), from memory.
[[nodiscard]] Effect effect_of(const Token& token);

/// What should stand where `token` has an effect that is not undone, with the token in a form that
/// can be read: "text without cursor movement (ESC [ 2 J)".
[[nodiscard]] std::string expected_instead_of(const Token& token);

} // namespace slotwitness::terminal
