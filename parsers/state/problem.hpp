#pragma once

#include <cstddef>
#include <string>

namespace slotwitness::state {

/// A place in a text: line and column count from 1; column in bytes. 0 means "not known".
struct Position {
    std::size_t line = 0;
    std::size_t column = 0;
    friend auto operator<=>(const Position&, const Position&) = default;
};

/// What is wrong with a text that somebody wrote, and what would mend it. The one error type of
/// every reader of files and sentences.
struct Problem {
    std::string where; ///< file name, or "sentence"; empty when the caller fills it in
    Position at;
    std::string found;    ///< what stands there, quoted from the text; "end of text" at the end
    std::string expected; ///< what would be accepted there
    std::string remedy;   ///< what to do about it, one sentence
};

/// "profile.toml:12:7: found \"opne\", expected one of …; remedy". Parts that are empty are left
/// out.
[[nodiscard]] std::string to_text(const Problem& problem);

} // namespace slotwitness::state
