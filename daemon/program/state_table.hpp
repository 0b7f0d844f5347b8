#pragma once

#include "table.hpp"

#include <slotwitness/state/reading.hpp>

#include <vector>

namespace slotwitness::program {

/// The rows of one kind, a column an attribute that any of them has: label and states first, long
/// words last. Last of all stands the device's own line, where so many columns have room for it.
[[nodiscard]] Table state_table(state::Kind kind, const std::vector<const state::Row*>& rows,
                                std::size_t columns);

} // namespace slotwitness::program
