#pragma once

#include "faults.hpp"
#include "snapshot.hpp"

#include <string>
#include <vector>

namespace slotwitness::chassis {

/// The whole chassis as one line of JSON: what is so now, which its tables show up to a refresh
/// later.
[[nodiscard]] std::string state_json(const Snapshot& now, const std::vector<Fault>& faults);

} // namespace slotwitness::chassis
