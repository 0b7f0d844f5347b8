#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

/// Read-back codes: three characters by which two people on a voice line know that they speak of
/// the same decision. They catch mistakes; they keep nothing secret.
namespace slotwitness::readback {

/// What a code is made of. Left out are vowels, so that no code is a word or the name of a slot; of
/// what looks alike, in print or by hand, all but one at most (0 O D Q, 1 I L, 2 Z, 5 S, 6 G, 8 B,
/// U V Y); and of what is often misheard bare, without its word, one of two (M N, 5 9).
inline constexpr std::string_view letters = "CFHJKMPRTWXY";
inline constexpr std::string_view digits = "2346789";

inline constexpr std::size_t length = 3;

/// As it is spoken, by the spelling alphabet of ICAO Annex 10, Volume II, 5.2.1.3: "Kilo Seven
/// Foxtrot". A character that no code has stands for itself.
[[nodiscard]] std::string spelled(std::string_view code);

/// As it is shown to people: "K7F (Kilo Seven Foxtrot)".
[[nodiscard]] std::string shown(std::string_view code);

/// A code as somebody types it or hears it: "K7F", "k 7 f", "Kilo seven Foxtrot". Nothing if it is
/// none.
[[nodiscard]] std::optional<std::string> read(std::string_view said);

} // namespace slotwitness::readback
