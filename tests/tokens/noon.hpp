#pragma once

#include <slotwitness/tokens/token.hpp>

namespace slotwitness::tokens {

/// 2026-11-25T12:00:00Z: when these tests play.
inline constexpr WallTime noon{std::chrono::seconds{1'795'608'000}};

} // namespace slotwitness::tokens
