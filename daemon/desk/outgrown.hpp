#pragma once

#include "settings.hpp"

#include <slotwitness/replay/recover.hpp>

#include <string>

namespace slotwitness::desk {

/// What goes on from a former run was planned by the profile of then: which queries tell it, and
/// how old their answers may be. Why it would be judged too lightly by answers that the profile of
/// now reads, with the remedy; empty: it would not.
[[nodiscard]] std::string outgrown(const ChassisSettings& settings, const replay::Recovered& past);

} // namespace slotwitness::desk
