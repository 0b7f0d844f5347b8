#include <slotwitness/layouts/free_text.hpp>

#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace slotwitness;
using namespace slotwitness::layouts;

namespace {

Lines prepare(bool with_sections, bool blank_ends, bool right_below) {
    LinesSpec spec;
    spec.grammar = std::make_shared<const abnf::Grammar>(
        abnf::parse_grammar(
            "holds = \"Slot \" slot \" holds a \" part *(\", \" part) \".\"\n"
            "dark = \"Slot \" slot \" is dark.\"\n"
            "twin = 1*SP \"its twin is \" slot\n"
            "age = 1*SP \"running for \" time *SP\n"
            "shelf = HTAB \"Shelf \" name\n"
            "total = 1*DIGIT \" slots told.\"\n"
            "none = \"No slots.\"\n"
            "slot = 1*ALPHA 1*DIGIT\npart = 1*(ALPHA / SP)\ntime = 1*DIGIT (\"d\" / \"h\")\n"
            "name = *OCTET",
            "fuzz")
            .value());
    spec.rows = {"holds", "dark"};
    spec.continues = {"twin", "age"};
    if (with_sections)
        spec.sections = {"shelf"};
    spec.pass_over = {"total"};
    spec.empty = {"none"};
    spec.cells = {"slot", "part", "time", "name"};
    spec.blank_ends = blank_ends;
    if (right_below)
        spec.right_below = {{"age", {"twin", "holds"}}, {"none", {"total"}}};
    return Lines::prepare(std::move(spec)).value();
}

} // namespace

/// The first byte chooses the specification; the rest is the answer.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0)
        return 0;
    static const Lines all[]{prepare(false, false, false), prepare(false, true, false),
                             prepare(true, false, false),  prepare(true, true, false),
                             prepare(false, false, true),  prepare(false, true, true),
                             prepare(true, false, true),   prepare(true, true, true)};
    const unsigned choice = data[0];
    const std::string_view answer{reinterpret_cast<const char*>(data) + 1, size - 1};
    const Leftover left =
        read_lines(answer, all[choice & 7U], (choice & 16U) != 0, [](const Block& block) {
            if (block.text.empty() || block.at.line == 0)
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
