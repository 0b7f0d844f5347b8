#pragma once

#include "shape.hpp"

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::draft {

/// Words of the device by the list that they go to.
using WordLists = std::map<std::string, std::set<std::string>>;

/// A line of [query.ID.cells]: what stands right of the label, and a comment beside it.
struct CellDraft {
    std::string meaning; ///< { as = "ignored" }
    std::string comment; ///< empty: none
};

/// Which column names the components: the first that has a text of its own in every row, but for a
/// number of the line (IDX, NO) where another has one.
[[nodiscard]] std::size_t name_column(const Shape& shape);

/// One query's cells, in the order of its columns.
class CellDrafter {
  public:
    CellDrafter(const Shape& shape, WordLists& words) : shape_(shape), words_(words) {}
    /// `name`: which column is the name; past the end, none is.
    [[nodiscard]] std::vector<CellDraft> draft(std::size_t name);

  private:
    [[nodiscard]] CellDraft draft(const Column& column);
    [[nodiscard]] CellDraft draft_words(const Column& column, const std::set<std::string>& words,
                                        const std::string& keys);

    const Shape& shape_;
    WordLists& words_;
    std::set<std::string> attributes_; ///< those that a cell has already
};

} // namespace slotwitness::draft
