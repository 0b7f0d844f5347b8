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
    RecordSpec spec;
    spec.heading = (choice & 1U) != 0 ? "Tray" : "";
    spec.separator = (choice & 2U) != 0   ? RecordSpec::Separator::equals
                     : (choice & 4U) != 0 ? RecordSpec::Separator::dots
                                          : RecordSpec::Separator::colon;
    spec.labels = {"Drive", "Turning at", "Cools", "Power > Drive"};
    if ((choice & 8U) != 0)
        spec.lists = {"Cools"};
    spec.several = (choice & 32U) != 0;
    spec.pass_over = {"-- more --"};
    spec.empty = {"No trays."};

    const Leftover left = read_record(answer, spec, (choice & 16U) != 0, [&](const Block& block) {
        if (block.cells.empty())
            std::abort();
        for (const Cell& cell : block.cells)
            if (cell.at.line == 0 || cell.at.column == 0 || cell.label.empty())
                std::abort();
    });
    for (const auto& line : left.unread)
        if (line.line == 0 || line.column == 0 || line.expected.empty())
            std::abort();
    return 0;
}
