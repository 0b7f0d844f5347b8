#pragma once

#include <string>
#include <string_view>

namespace slotwitness::witness {

/// A serial as it is compared: case, blanks and punctuation do not count, for labels have them and
/// devices leave them out.
[[nodiscard]] std::string bare_serial(std::string_view text);

/// False of two that have neither letter nor digit.
[[nodiscard]] bool same_serial(std::string_view left, std::string_view right);

} // namespace slotwitness::witness
