#pragma once

#include <slotwitness/layouts/glyphs.hpp>
#include <slotwitness/layouts/table.hpp>

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

/// Where the columns of a table may stand. Places count code points.
namespace slotwitness::draft {

struct Extent {
    std::size_t begin = 0;
    std::size_t end = 0;
    std::string text;
};

/// How the cells under a header stand. `either`: all of them end with it, and each has a text that
/// begins with it: the whole cell ("running") or its last word ("3 W").
enum class Alignment { left, right, either };

/// Lines as they are seen.
class Sheet {
  public:
    explicit Sheet(const std::vector<std::string>& lines);
    [[nodiscard]] std::size_t size() const { return rows_.size(); }
    [[nodiscard]] bool always_blank(std::size_t place) const;
    [[nodiscard]] bool has_ink(std::size_t begin, std::size_t end) const;
    [[nodiscard]] Alignment alignment_under(const Extent& header) const;
    /// A line below another begins with blanks up to `place`.
    [[nodiscard]] bool has_blank_up_to(std::size_t place) const;

  private:
    std::vector<layouts::Glyphs> rows_;
};

/// The labels of a header above `rows`: blanks part them where two stand together, or where the
/// rows have a blank too and something under both.
[[nodiscard]] std::vector<Extent> labels_in(std::string_view header, const Sheet& rows);

/// The specification with these labels, each named once.
[[nodiscard]] layouts::TableSpec table_of(layouts::TableSpec::Edges edges,
                                          const std::vector<std::vector<std::string>>& header);

} // namespace slotwitness::draft
