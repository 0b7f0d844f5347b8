#pragma once

#include "glyphs.hpp"
#include "table.hpp"
#include "table_rows.hpp"

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// Recognises a header, line by line, and gathers where its columns stand.
class HeaderReader {
  public:
    explicit HeaderReader(const TableSpec& spec);

    enum class Seen { other, part, whole };
    /// `part`: the header goes on with the next line, or begins anew with this one.
    [[nodiscard]] Seen read(const Glyphs& line) {
        return next_ == 0 && !may_begin(line.line()) ? Seen::other : read_on(line);
    }
    /// After `whole`, until the next `read`: the columns, left to right.
    [[nodiscard]] const std::vector<Column>& columns() const { return columns_; }
    /// After `part`: whether the line just read is the first of a header.
    [[nodiscard]] bool is_first() const { return next_ == 1; }
    [[nodiscard]] bool is_printed() const { return !lines_.empty(); }

  private:
    struct Words {
        std::vector<std::string> texts;
        std::vector<std::size_t> columns; ///< of each text
    };
    /// Nearly every line is a row, which mostly its first letter tells.
    [[nodiscard]] bool may_begin(std::string_view line) const {
        const std::size_t ink = line.find_first_not_of(' ');
        return in_box_ || (ink != std::string_view::npos && line[ink] == first_letter_);
    }
    [[nodiscard]] Seen read_on(const Glyphs& line);
    [[nodiscard]] bool take(const Glyphs& line, const Words& words, bool is_first);

    std::vector<Words> lines_;
    bool in_box_;
    char first_letter_ = '\n';          ///< of the header; no line has this one
    std::vector<Column> blank_columns_; ///< with labels, before any place is known
    std::vector<Column> columns_;
    std::size_t next_ = 0; ///< the line that is expected
};

} // namespace slotwitness::layouts
