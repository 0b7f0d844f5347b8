#pragma once

#include "reader.hpp"

#include <slotwitness/profiles/profile.hpp>

namespace slotwitness::reference {

/// What the layouts read, in the form of the reference, and what the reference reads:
/// nothing where it has no reading.
[[nodiscard]] Sheet sheet_of(std::string_view answer, const profiles::Layout& layout, bool ended);
[[nodiscard]] std::optional<Sheet> reference_of(std::string_view answer,
                                                const profiles::Layout& layout, bool ended);

[[nodiscard]] std::string to_text(const Sheet& sheet);

} // namespace slotwitness::reference
