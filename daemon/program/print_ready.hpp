#pragma once

#include <slotwitness/ready/check.hpp>

#include <nlohmann/json_fwd.hpp>

#include <ostream>

namespace slotwitness::program {

/// The report for a terminal of 80 columns: what holds the work up comes first, what the check
/// cannot see last, and once more by name what holds the work up.
void print_ready(std::ostream& out, const ready::Work& work, const ready::Look& look,
                 const ready::Report& report);

/// The same for programs.
[[nodiscard]] nlohmann::json ready_json(const ready::Work& work, const ready::Look& look,
                                        const ready::Report& report);

} // namespace slotwitness::program
