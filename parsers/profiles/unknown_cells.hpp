#pragma once

#include "profile.hpp"

#include <string>
#include <string_view>

/// Why a cell makes its facts unknown, and what its author may do. Only the .cpp files of this room
/// include it.
namespace slotwitness::profiles {

/// The cell is empty, or its text stands for an empty one, and it must not be.
[[nodiscard]] std::string why_not_empty(const layouts::Cell& cell);
/// A row has no such cell. `complete`: all lines of the row were read.
[[nodiscard]] std::string why_missing(std::string_view label, bool complete);
/// `text` of the cell is not in its list of words.
[[nodiscard]] std::string why_no_word(const layouts::Cell& cell, std::string_view text,
                                      const Meaning& meaning);
/// `text` of the cell is no quantity (`is_quantity` false), is in another unit (`fits` false), or
/// is beyond the range of a sensor.
[[nodiscard]] std::string why_no_quantity(const layouts::Cell& cell, std::string_view text,
                                          bool is_quantity, bool fits, state::Attribute attribute);

} // namespace slotwitness::profiles
