#pragma once

#include <string>
#include <string_view>

namespace slotwitness::marked {

/// `first` and the text behind it, broken between words to so many columns; later lines stand under
/// the text. Each line ends with LF. Both are made legible.
[[nodiscard]] std::string wrapped(std::string_view first, std::string_view text,
                                  std::size_t columns = 80);

} // namespace slotwitness::marked
