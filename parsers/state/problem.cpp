#include "problem.hpp"

#include <string_view>

namespace slotwitness::state {
namespace {

/// A text from outside must not steer the terminal that shows it.
std::string printable(const std::string& text) {
    static constexpr std::string_view hex = "0123456789abcdef";
    std::string shown;
    for (const char byte : text) {
        const auto code = static_cast<unsigned char>(byte);
        if (code < 0x20 || code == 0x7f)
            shown += {'\\', 'x', hex[code >> 4U], hex[code & 0xfU]};
        else
            shown += byte;
    }
    return shown;
}

/// "a: b", or the one that is not empty.
std::string joined(std::string first, std::string_view between, std::string_view second) {
    if (!first.empty() && !second.empty())
        first += between;
    return first += second;
}

} // namespace

std::string to_text(const Problem& problem) {
    std::string place = problem.where;
    if (problem.at.line != 0)
        place = joined(place, ":", std::to_string(problem.at.line));
    if (problem.at.line != 0 && problem.at.column != 0)
        place = joined(place, ":", std::to_string(problem.at.column));

    std::string what;
    if (problem.found == "end of text")
        what = "found end of text";
    else if (!problem.found.empty())
        what.append("found \"").append(printable(problem.found)).append("\"");
    if (!problem.expected.empty())
        what = joined(what, ", ", "expected ").append(problem.expected);
    what = joined(what, "; ", problem.remedy);
    return joined(place, ": ", what);
}

} // namespace slotwitness::state
