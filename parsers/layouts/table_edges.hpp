#pragma once

#include "glyphs.hpp"
#include "table.hpp"
#include "table_rows.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// Where the columns of a table stand: as its header shows them, then as the line under it says.
class TableEdges {
  public:
    explicit TableEdges(const TableSpec& spec);

    [[nodiscard]] const std::vector<Column>& columns() const { return columns_; }

    /// Another header was read. A misfit where its columns overlap.
    [[nodiscard]] std::optional<Misfit> begin(const std::vector<Column>& of_header);
    /// The line right under a header, where it gives the columns their widths: a rule, or the
    /// border of a box.
    [[nodiscard]] std::optional<Misfit> take_widths(const Glyphs& line);
    /// Dashes right under a header that needs none; a single dash may be a cell that stands for
    /// nothing. They may stand again further down.
    [[nodiscard]] bool take_underline(std::string_view line);

    /// The rule or the dashes under the header once more.
    [[nodiscard]] bool is_rule_again(std::string_view line) const {
        return !rule_.empty() && line.starts_with(rule_.front()) && has_rule(line);
    }
    /// A border line with the junctions of the one under the header, though their glyphs may
    /// differ; before the header any.
    [[nodiscard]] bool is_border(const Glyphs& line, bool before_header) const;

    /// The cells of a row, or where it does not fit.
    [[nodiscard]] std::optional<Misfit> cut(const Glyphs& row, Cuts& cuts) const;

  private:
    [[nodiscard]] bool has_rule(std::string_view line) const;
    [[nodiscard]] std::optional<Misfit> widths_from_rule(const Glyphs& line);
    [[nodiscard]] std::optional<Misfit> widths_from_border(const Glyphs& line);

    const TableSpec& spec_;
    std::vector<Column> columns_;
    std::vector<std::size_t> junctions_; ///< of the border under the header
    std::string rule_; ///< of this table, which may stand again at its end; empty: none
};

} // namespace slotwitness::layouts
