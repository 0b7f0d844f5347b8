#pragma once

#include <string>
#include <vector>

namespace slotwitness::chassis {

/// An answer as fixtures keep it.
struct Captured {
    std::string condition; ///< "healthy", "mid-swap", "broken" or "hostile"
    std::string name; ///< the profile's query; for hostile ones with what is wrong: "planes-cut"
    std::string text;
};

/// The answers of a chassis in three conditions, and some that faults have spoilt. Always the same.
[[nodiscard]] std::vector<Captured> captured_answers();

} // namespace slotwitness::chassis
