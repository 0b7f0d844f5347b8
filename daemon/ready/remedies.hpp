#pragma once

#include <slotwitness/sentences/sentence.hpp>
#include <slotwitness/witness/judgement.hpp>

#include <string>

namespace slotwitness::ready {

/// What to do about a condition that must be so before the work, and is not, or is not known to be.
[[nodiscard]] std::string remedy_for(const sentences::Condition& condition,
                                     const witness::Judgement& judgement);

} // namespace slotwitness::ready
