#pragma once

#include "limits.hpp"
#include "program.hpp"

#include <cstddef>
#include <string>
#include <string_view>

namespace slotwitness::abnf {

/// What could have stood at `at`, the furthest place of a text that did not match.
[[nodiscard]] std::string explain(const Program& program, std::string_view text, std::size_t at,
                                  Stacks& stacks, Budget budget);

} // namespace slotwitness::abnf
