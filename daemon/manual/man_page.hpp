#pragma once

#include "command_line.hpp"

#include <string>
#include <string_view>

namespace slotwitness::manual {

/// slotwitness.1 from what people wrote of it: "@VERSION@" and the line "@VERBS@" of the text are
/// replaced, the latter by every verb with its synopsis, options and operands. Macros as in
/// groff_man(7).
[[nodiscard]] std::string man_page(std::string_view text, const CommandLine& line);

} // namespace slotwitness::manual
