#pragma once

#include "../profiles/files.hpp"

#include <cstdlib>
#include <string>
#include <vector>

namespace slotwitness::reference {

/// The fixtures of a family that are read millions of times. Quillon's answers from the simulated
/// chassis are long, and its `answers` show each layout: the others wait for the long run.
inline std::vector<profiles::Fixture> compared_fixtures(const std::string& family) {
    std::vector<profiles::Fixture> all = profiles::fixtures_of(family);
    if (family == "quillon" && std::getenv("SLOTWITNESS_LONG") == nullptr)
        std::erase_if(all, [](const profiles::Fixture& one) { return one.folder != "answers"; });
    return all;
}

} // namespace slotwitness::reference
