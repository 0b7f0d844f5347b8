#pragma once

#include <slotwitness/layouts/table.hpp>

#include <rapidcheck.h>

#include <string>
#include <vector>

/// Tables with what they must read as, drawn by a renderer that shares nothing with the reader.
namespace slotwitness::layouts {

struct DrawnTable {
    TableSpec spec;
    std::string text;
    std::vector<std::vector<std::string>> rows;
};

/// Random columns, widths, alignments, empty cells, wraps, repeated headers and line ends.
[[nodiscard]] rc::Gen<DrawnTable> any_table();

} // namespace slotwitness::layouts

namespace rc {
void showValue(const slotwitness::layouts::DrawnTable& table, std::ostream& out);
}
