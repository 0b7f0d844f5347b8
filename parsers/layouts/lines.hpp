#pragma once

#include "sheet.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

struct Line {
    std::size_t number = 0; ///< from 1
    std::string_view text;  ///< without its LF or CRLF
    bool ended = true;      ///< false: the answer stops here without a line end
    bool printable = false; ///< known to have nothing but printable ASCII
};

/// The lines of an answer, one after the other; they end in LF or CRLF.
class LineSplitter {
  public:
    explicit LineSplitter(std::string_view answer, Octets octets = Octets::any)
        : rest_(answer), octets_(octets) {}
    /// False after the last, which `line` then keeps.
    [[nodiscard]] bool next(Line& line);

  private:
    std::string_view rest_;
    Octets octets_;
    std::size_t number_ = 0;
};

/// What no layout reads: too long, or with a control byte (a tab has no width of its own, an escape
/// moves what is seen). Where columns do not matter, tabs may be allowed.
enum class Tabs { refused, allowed };
[[nodiscard]] std::optional<state::UnreadLine> illegible(const Line& line,
                                                         Tabs tabs = Tabs::refused);

/// `column` counts bytes from 1. Of a line beyond `longest_line` the beginning is shown.
[[nodiscard]] state::UnreadLine unread(const Line& line, std::size_t column, std::string expected);

[[nodiscard]] std::string_view without_trailing_blanks(std::string_view text);
[[nodiscard]] std::string_view without_blanks(std::string_view text);
[[nodiscard]] inline bool is_blank(std::string_view text) {
    return text.find_first_not_of(' ') == std::string_view::npos;
}

[[nodiscard]] bool is_any_of(std::string_view line, std::span<const std::string> whole);
/// One of `whole` is this line, trailing blanks aside.
[[nodiscard]] inline bool is_one_of(std::string_view line, std::span<const std::string> whole) {
    return !whole.empty() && is_any_of(line, whole);
}

/// What follows `words` on a line that begins with them, blanks and a closing ":" aside: "FAB3" of
/// "Module FAB3:". Nothing if other text begins the line.
[[nodiscard]] std::optional<std::string_view> after_words(std::string_view line,
                                                          std::string_view words);

/// "label" in double quotes.
[[nodiscard]] std::string in_quotes(std::string_view label);

} // namespace slotwitness::layouts
