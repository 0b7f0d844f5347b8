#include <slotwitness/layouts/json.hpp>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

using namespace slotwitness;
using namespace slotwitness::layouts;

namespace {

JsonSpec spec(unsigned choice) {
    switch (choice & 3U) {
    case 0:
        return {*parse_pointer("/list/*", Wildcards::one),
                {"/name", "/in/x", "/names"},
                {"/version", "/list/*/extra"}};
    case 1:
        return {*parse_pointer("/*", Wildcards::one), {"*", "/up"}, {"/*/*"}};
    case 2:
        return {*parse_pointer("/*", Wildcards::one), {"*", ""}, {}};
    default:
        return {*parse_pointer("", Wildcards::one), {"/0", "/list/1"}, {"/*/a"}};
    }
}

std::size_t line_ends(std::string_view text) {
    return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

} // namespace

/// The first byte chooses the specification; the rest is the answer. A reading may not crash,
/// places lie inside the answer, and what gives no row says why.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0)
        return 0;
    const unsigned choice = data[0];
    const std::string_view answer{reinterpret_cast<const char*>(data) + 1, size - 1};
    const std::size_t last = line_ends(answer) + 1;
    const auto is_inside = [&](state::Position at) {
        return at.line >= 1 && at.line <= last && at.column >= 1 && at.column <= answer.size() + 1;
    };
    state::Position before;
    const Leftover leftover =
        read_json(answer, spec(choice), (choice & 16U) != 0, [&](const Block& block) {
            if (!is_inside(block.at) || !(before < block.at) || block.text.size() > longest_line)
                std::abort();
            before = block.at;
            for (const Cell& cell : block.cells)
                if (!is_inside(cell.at) || cell.at < block.at || cell.text.size() > longest_line)
                    std::abort();
        });
    if (answer.empty() && leftover.unread.empty())
        std::abort();
    for (const auto& line : leftover.unread)
        if (!is_inside({line.line, line.column}) || line.expected.empty() ||
            line.text.size() > longest_line)
            std::abort();
    if (!std::is_sorted(leftover.set_aside.begin(), leftover.set_aside.end()))
        std::abort();
    return 0;
}
