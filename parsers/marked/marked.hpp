#pragma once

#include <slotwitness/state/reading.hpp>

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

/// An answer beside what was read of it: each line with what became of it. Pure.
namespace slotwitness::marked {

enum class Mark {
    layout, ///< the layout itself used it: a header, a rule, a blank line
    row,    ///< a row, or a part of one, stands here
    aside,  ///< it says nothing of the state: the profile passes it over, or the terminal added it
    unread, ///< nobody knows what it says
};
/// "layout", "row", "aside", "unread".
[[nodiscard]] std::string_view to_word(Mark mark);

/// A note that belongs under a line, at a column of its own.
struct Note {
    std::size_t column = 0; ///< in bytes, from 1; 0: of the line as a whole
    std::string text;
    friend bool operator==(const Note&, const Note&) = default;
};

struct MarkedLine {
    std::size_t number = 0; ///< from 1
    std::string_view text;  ///< of the answer, without LF or CRLF
    Mark mark = Mark::layout;
    std::string why;            ///< of a line that is set aside
    std::vector<Note> expected; ///< of an unread line: the furthest column, what was expected
    std::vector<Note> remarks;  ///< in the order of the reading
    std::vector<std::size_t>
        ends_rows; ///< places in Reading::rows of those whose last line this is
};

/// Every line of `answer`, in order. What the reading says of a line beyond the end stands at a
/// line of its own, empty, after the last. `answer` outlives the result.
[[nodiscard]] std::vector<MarkedLine> mark_lines(std::string_view answer,
                                                 const state::Reading& reading);

} // namespace slotwitness::marked
