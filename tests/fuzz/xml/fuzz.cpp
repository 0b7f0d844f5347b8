#include <slotwitness/layouts/xml.hpp>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace slotwitness;
using namespace slotwitness::layouts;

namespace {

XmlSpec spec_of(unsigned choice) {
    XmlSpec spec;
    spec.space = "urn:a";
    spec.rows =
        (choice & 1U) != 0 ? std::vector<std::string>{"r"} : std::vector<std::string>{"l", "r"};
    spec.cells = {"n", "t", "s/e"};
    spec.identities = {{"t", "urn:t"}};
    if ((choice & 2U) != 0)
        spec.pass_over = {"{urn:a}x", "{}a"};
    if ((choice & 4U) != 0)
        spec.only = XmlSpec::Only{"t", {"k"}};
    return spec;
}

} // namespace

/// The first byte chooses the specification; the rest is the answer. A reading may not crash,
/// places lie inside the answer, cells are those of the specification and stand once, an entry that
/// `only` leaves out is no block, and nothing is dropped: what gives no block and sets nothing
/// aside says why, but for a list without entries.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0)
        return 0;
    const unsigned choice = data[0];
    const std::string_view answer{reinterpret_cast<const char*>(data) + 1, size - 1};
    const XmlSpec spec = spec_of(choice);
    const auto last = static_cast<std::size_t>(std::count(answer.begin(), answer.end(), '\n')) + 1;
    const auto is_inside = [&](state::Position at) {
        return at.line >= 1 && at.line <= last && at.column >= 1 && at.column <= answer.size() + 1;
    };
    state::Position before;
    bool said = false;
    const Leftover leftover = read_xml(answer, spec, (choice & 16U) != 0, [&](const Block& block) {
        said = true;
        if (!is_inside(block.at) || !(before < block.at) || block.text.size() > longest_line)
            std::abort();
        before = block.at;
        for (const Cell& cell : block.cells) {
            const auto same = [&](const Cell& other) { return other.label == cell.label; };
            if (!is_inside(cell.at) || cell.at < block.at ||
                std::count_if(block.cells.begin(), block.cells.end(), same) != 1 ||
                std::find(spec.cells.begin(), spec.cells.end(), cell.label) == spec.cells.end())
                std::abort();
            if (spec.only && cell.label == "t" && cell.text != "k")
                std::abort();
        }
    });
    for (const auto& line : leftover.unread)
        if (!is_inside({line.line, line.column}) || line.text.size() > longest_line)
            std::abort();
    if (!said && leftover.unread.empty() && leftover.set_aside.empty() && (choice & 1U) != 0)
        std::abort();
    return 0;
}
