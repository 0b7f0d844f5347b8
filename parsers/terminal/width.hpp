#pragma once

#include <string_view>

namespace slotwitness::terminal {

/// Every terminal shows this character in exactly one column. False where some do not: combining
/// and zero-width characters, East Asian ones, pictures; a few scripts are taken for one of these.
[[nodiscard]] bool takes_one_place(std::string_view character);

} // namespace slotwitness::terminal
