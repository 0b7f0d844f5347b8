#pragma once

#include <slotwitness/sentences/sentence.hpp>

#include <string>
#include <vector>

namespace slotwitness::sheet {

/// A sentence in the words of people at the rack: `every plane served by module FAB3 shut` is
/// "every fabric plane served by module FAB3 is shut down by the engineer". What all must hold is
/// one clause each.
struct Spoken {
    std::vector<std::string> clauses; ///< at least one
    std::string times;                ///< "for 10 s, within 5 min"; may be empty
};
[[nodiscard]] Spoken spoken(const sentences::Sentence& sentence);

} // namespace slotwitness::sheet
