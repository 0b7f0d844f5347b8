#pragma once

#include "sheet.hpp"

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// The text of an answer that is one document (JSON, XML) and not lines: places are offsets in
/// bytes, and what is told of them are lines and columns.
class Document {
  public:
    /// `text` must outlive this.
    explicit Document(std::string_view text);

    [[nodiscard]] std::string_view text() const { return text_; }
    [[nodiscard]] std::string_view between(std::size_t begin, std::size_t end) const {
        return text_.substr(begin, end - begin);
    }
    [[nodiscard]] state::Position position(std::size_t offset) const;

    /// The text of a row as evidence shows it: its lines joined by LF. Of a row that is longer than
    /// `longest_line` only its first line, and no more of that than `longest_line` either.
    [[nodiscard]] std::string lines(std::size_t begin, std::size_t end) const;

    /// Reports all of [begin, end) as unread, so that whatever it names can be found in it: in
    /// pieces of at most `longest_line`, parted where a name is not. The piece that holds `at`
    /// tells that place, the others where they begin.
    void refuse(Leftover& leftover, std::size_t begin, std::size_t end, std::size_t at,
                const std::string& expected) const;
    /// The lines of [begin, end), once each, if called in the order of the text.
    void set_aside(Leftover& leftover, std::size_t begin, std::size_t end) const;

  private:
    std::string_view text_;
    std::vector<std::size_t> line_starts_;
};

/// Sorts by line what was reported as it was found.
void sort_by_line(Leftover& leftover);

/// The first byte at which `text` is not UTF-8 (RFC 3629); its size if it is.
[[nodiscard]] std::size_t valid_utf8(std::string_view text);

/// A byte of a cell that could move or hide what is seen, as `illegible` has it for lines.
[[nodiscard]] bool has_control_byte(std::string_view text);

} // namespace slotwitness::layouts
