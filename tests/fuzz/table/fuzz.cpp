#include <slotwitness/layouts/table.hpp>

#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace slotwitness::layouts;

/// The first byte chooses the specification; the rest is the answer. A reading may not crash, and
/// places of cells and unread lines lie inside the answer.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0)
        return 0;
    using Edges = TableSpec::Edges;
    const unsigned choice = data[0];
    const std::string_view answer{reinterpret_cast<const char*>(data) + 1, size - 1};
    TableSpec spec;
    spec.edges = (choice & 32U) != 0  ? Edges::box
                 : (choice & 1U) != 0 ? Edges::rule
                 : (choice & 2U) != 0 ? Edges::blanks
                                      : Edges::header;
    spec.columns = {"SLOT", "WHAT IT IS", "COUNT", "STATE"};
    if (spec.edges != Edges::blanks)
        spec.right_aligned = {"COUNT"};
    spec.wraps = spec.edges != Edges::blanks && (choice & 4U) != 0;
    spec.rows_after_blank = (choice & 8U) != 0;
    if ((choice & 64U) != 0)
        spec.group = "Shelf";
    if ((choice & 128U) != 0)
        spec.header = {{"SLOT", "WHAT", "", ""}, {"", "IT IS", "COUNT", "STATE"}};
    spec.pass_over = {"-- more --"};
    spec.empty = {"None."};
    const bool ended = (choice & 16U) != 0;

    const Leftover left = read_table(answer, spec, ended, [&](const Block& block) {
        if (block.cells.size() != spec.columns.size() + (spec.group.empty() ? 0 : 1))
            std::abort();
        for (const Cell& cell : block.cells)
            if (cell.at.line == 0 || cell.at.column == 0 || cell.at.column > longest_line + 1)
                std::abort();
    });
    for (const auto& line : left.unread)
        if (line.line == 0 || line.column == 0 || line.expected.empty())
            std::abort();
    return 0;
}
