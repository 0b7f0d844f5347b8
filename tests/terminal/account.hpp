#pragma once

#include <slotwitness/terminal/clean.hpp>

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::terminal {

/// Offset of a place in `text`, or its size for a place past it.
[[nodiscard]] std::size_t offset_of(std::string_view text, state::Position at);

/// The lines of a text, without LF; a text that ends in LF has no empty last one.
[[nodiscard]] std::vector<std::string_view> lines_of(std::string_view text);

/// What is wrong with the account that `clean` gives of each byte of `raw`; nothing if all is told
/// once, in its place.
[[nodiscard]] std::optional<std::string> fault_of(const Clean& clean, std::string_view raw);

} // namespace slotwitness::terminal
