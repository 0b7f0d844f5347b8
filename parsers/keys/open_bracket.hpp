#pragma once

#include <slotwitness/state/problem.hpp>

#include <optional>
#include <string_view>

namespace slotwitness::keys {

/// The innermost bracket of a TOML text that is open at `end`, strings and comments aside. A reader
/// of TOML stops at what it did not expect, which is mostly lines below a bracket that somebody
/// forgot to close. Columns count characters from 1, as those of `end`.
[[nodiscard]] std::optional<state::Position> open_bracket(std::string_view text,
                                                          state::Position end);

} // namespace slotwitness::keys
