#pragma once

#include "finding.hpp"

#include <string>
#include <string_view>

namespace slotwitness::witness {

/// The read-back code of what the gate says now: of its pass while it is met, of its being lost, of
/// either failure. Empty while there is nothing to act upon: pending, cancelled, settling, unseen;
/// and of a gate of a procedure, whose step has a code of its own.
[[nodiscard]] std::string code_of(std::string_view chassis, const GateFinding& gate);

} // namespace slotwitness::witness
