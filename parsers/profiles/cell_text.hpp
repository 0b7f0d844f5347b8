#pragma once

#include "profile.hpp"

#include <optional>
#include <string>
#include <string_view>

/// What a cell's text says, before any meaning is looked up. Only the .cpp files of this room
/// include it.
namespace slotwitness::profiles {

/// What the device says in a cell, once `until` and `empty` of its meaning have been heeded.
[[nodiscard]] std::string_view said_in(std::string_view cell, const Meaning& meaning);
/// Whether `said_in` gives each cell as it stands.
[[nodiscard]] inline bool is_said_plainly(const Meaning& meaning) {
    return meaning.until.empty() && meaning.empty.empty();
}

/// The names in a list, parted by commas and blanks.
[[nodiscard]] state::Names names_in(std::string_view text);

/// RFC 8348, sensor-value: −1000000000 is underflow, +1000000000 overflow, whatever the scale.
[[nodiscard]] bool is_beyond_range(std::string_view number);

/// A byte above 0x7f outside a UTF-8 sequence is a name that nobody can write.
[[nodiscard]] bool is_utf8(std::string_view text);

/// Of several words of alarm states, parted by blanks, the gravest; one that has no such meaning
/// makes it unknown.
[[nodiscard]] std::string_view gravest_of(std::string_view text, const WordList& words);

} // namespace slotwitness::profiles
