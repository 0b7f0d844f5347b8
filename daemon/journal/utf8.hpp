#pragma once

#include <string>
#include <string_view>

namespace slotwitness::journal {

/// Whether `text` is well-formed UTF-8 (Unicode, table 3-7): no lone surrogate, nothing overlong.
[[nodiscard]] bool is_utf8(std::string_view text);

/// `text` with U+FFFD for each maximal part that is not UTF-8 (Unicode, section 3.9). What is
/// well-formed comes back unchanged.
[[nodiscard]] std::string as_utf8(std::string_view text);

} // namespace slotwitness::journal
