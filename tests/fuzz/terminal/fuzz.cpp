#include "../../terminal/account.hpp"

#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace slotwitness::terminal;

/// The first byte chooses the specification; the rest is the answer. Each byte of it is told of
/// once, places of doubt lie inside it, and what is clean stays as it is.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0)
        return 0;
    const unsigned choice = data[0];
    const std::string_view raw{reinterpret_cast<const char*>(data) + 1, size - 1};
    TerminalSpec spec;
    if ((choice & 1U) != 0)
        spec.pagers = {"-- more --", "(q)"};
    if ((choice & 2U) != 0)
        spec.is_log_line = [](std::string_view line) { return line.starts_with("%"); };
    if ((choice & 4U) != 0)
        spec.tab_width = 8;
    const bool ended = (choice & 16U) != 0;

    const Clean once = clean(raw, spec, ended);
    if (fault_of(once, raw))
        std::abort();
    std::size_t last = 0;
    for (const auto& line : once.unread) {
        if (line.line <= last || line.column == 0 || line.expected.empty())
            std::abort();
        last = line.line;
    }
    if (clean(once.text(), spec, ended).text() != once.text())
        std::abort();
    if ((choice & 8U) != 0) {
        spec.echo = "tell planes";
        if (fault_of(clean(raw, spec, ended), raw))
            std::abort();
    }
    return 0;
}
