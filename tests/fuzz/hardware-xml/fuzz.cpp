#include <slotwitness/layouts/hardware_xml.hpp>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace slotwitness;
using namespace slotwitness::layouts;

/// The first byte chooses the specification; the rest is the answer. A reading may not crash,
/// places lie inside the answer, every block has a kind, a name and a class, and nothing is
/// dropped: what gives no block and sets nothing aside says why, but for an empty hardware element.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0)
        return 0;
    const unsigned choice = data[0];
    const std::string_view answer{reinterpret_cast<const char*>(data) + 1, size - 1};
    HardwareXmlSpec spec;
    spec.pass_over_other_classes = (choice & 1U) != 0;
    if ((choice & 2U) != 0)
        spec.pass_over = {"{urn:example}x", "{urn:example}a"};
    const auto last = static_cast<std::size_t>(std::count(answer.begin(), answer.end(), '\n')) + 1;
    const auto is_inside = [&](state::Position at) {
        return at.line >= 1 && at.line <= last && at.column >= 1 && at.column <= answer.size() + 1;
    };
    const auto has = [](const Block& block, std::string_view label) {
        return std::any_of(block.cells.begin(), block.cells.end(),
                           [&](const Cell& cell) { return cell.label == label; });
    };
    state::Position before;
    bool said = false;
    const Leftover leftover =
        read_hardware_xml(answer, spec, (choice & 16U) != 0, [&](const Block& block) {
            said = true;
            if (!is_inside(block.at) || !(before < block.at) || block.text.size() > longest_line ||
                !block.kind)
                std::abort();
            if (block.complete && (!has(block, "name") || !has(block, "class")))
                std::abort();
            before = block.at;
            for (const Cell& cell : block.cells)
                if (!is_inside(cell.at) || cell.at < block.at)
                    std::abort();
        });
    for (const auto& line : leftover.unread)
        if (!is_inside({line.line, line.column}) || line.expected.empty() ||
            line.text.size() > longest_line)
            std::abort();
    if (!said && leftover.unread.empty() && leftover.set_aside.empty() &&
        answer.find("hardware") == std::string_view::npos)
        std::abort();
    return 0;
}
