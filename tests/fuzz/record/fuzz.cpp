#include <slotwitness/layouts/record.hpp>

#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace slotwitness::layouts;

/// The first byte chooses the specification; the rest is the answer.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0)
        return 0;
    const unsigned choice = data[0];
    const std::string_view answer{reinterpret_cast<const char*>(data) + 1, size - 1};
    const RecordSpec spec{(choice & 1U) != 0 ? "Tray" : "",
                          (choice & 2U) != 0 ? "=" : ":",
                          {"Drive", "Turning at", "Cools"},
                          {"-- more --"},
                          {"No trays."}};
    const Sheet sheet = read_record(answer, spec, (choice & 16U) != 0);
    for (const Block& block : sheet.blocks) {
        if (block.cells.empty())
            std::abort();
        for (const Cell& cell : block.cells)
            if (cell.at.line == 0 || cell.at.column == 0 || cell.label.empty())
                std::abort();
    }
    for (const auto& line : sheet.unread)
        if (line.line == 0 || line.column == 0 || line.expected.empty())
            std::abort();
    return 0;
}
