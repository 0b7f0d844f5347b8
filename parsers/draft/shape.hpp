#pragma once

#include <slotwitness/layouts/json.hpp>
#include <slotwitness/layouts/record.hpp>
#include <slotwitness/layouts/table.hpp>

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

/// One way in which a text may be laid out, and what reading it so brings.
namespace slotwitness::draft {

struct JsonShape {
    std::string rows; ///< pointer
    std::vector<std::string> cells;
    std::vector<std::string> pass_over;
};
using Layout = std::variant<layouts::TableSpec, layouts::RecordSpec, JsonShape>;

/// What stands under a label: a text a block, nothing where the block does not have it.
struct Column {
    std::string label;
    std::vector<std::optional<std::string>> texts;
};

struct Shape {
    Layout layout;
    std::vector<Column> columns; ///< in the order of the layout
    std::size_t blocks = 0;
    std::vector<state::UnreadLine> unread;
    std::vector<std::string> footers; ///< lines outside the rows that it proposes to pass over
};

/// Reads the text so.
[[nodiscard]] Shape try_out(std::string_view text, Layout layout);

/// The ways that come into question, the likelier first; perhaps none.
[[nodiscard]] std::vector<Layout> table_shapes(const std::vector<std::string>& lines);
[[nodiscard]] std::vector<Layout> record_shapes(const std::vector<std::string>& lines);
[[nodiscard]] std::vector<Layout> json_shapes(std::string_view text);
/// Columns parted by blanks, which any text can be read as.
[[nodiscard]] Layout bare_table(const std::vector<std::string>& lines);

/// The likeliest, or the one that leaves the fewest lines unread.
[[nodiscard]] Shape best_shape(std::string_view text);

} // namespace slotwitness::draft
