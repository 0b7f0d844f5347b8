#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace slotwitness::chassis {

/// One column as the family prints it: as wide as its longest cell, two blanks from the next.
struct Column {
    std::string header;
    bool right = false; ///< its cells end where its header ends
    std::optional<std::size_t>
        wraps{}; ///< words that reach past this width go to a line of their own
};

struct TextTable {
    std::vector<Column> columns;
    bool rule = true;                             ///< a line of dashes under the header
    std::optional<std::size_t> header_every{};    ///< rows after which the header stands again
    std::vector<std::vector<std::string>> rows{}; ///< a cell for each column
};

/// The table in lines that end in LF, without trailing blanks. The first column never wraps, so
/// that a line without one continues the row above.
[[nodiscard]] std::string to_text(const TextTable& table);

/// A block of `label: value` lines under a heading line.
struct TextRecord {
    std::string heading;
    std::vector<std::pair<std::string, std::string>> values;
};
[[nodiscard]] std::string to_text(const TextRecord& record);

} // namespace slotwitness::chassis
