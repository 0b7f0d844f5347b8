#pragma once

#include "handback_finding.hpp"
#include "view.hpp"

namespace slotwitness::witness {

/// The chassis in figures, before and now, for people to see at a glance: of each kind how many are
/// listed, how many of these are operational, and what their error counters add up to. "not known"
/// where the answers do not tell it of every one; part by part decides, never these.
[[nodiscard]] std::vector<Change> counts_of(const View& then, const View& now);

} // namespace slotwitness::witness
