#pragma once

#include "judge.hpp"
#include "report.hpp"
#include "said.hpp"

#include <set>
#include <string>
#include <vector>

namespace slotwitness::ready {

/// What the procedure's sentences say by this look, and which of it holds the work up. What is
/// unknown for want of an answer is no finding of its own where its query is among those `wanting`,
/// which hold the work up already.
struct Conditions {
    std::vector<Judged> now;   ///< part by part; what several sentences need is told once
    std::vector<Judged> later; ///< sentence by sentence, each once
    std::vector<Finding> findings;
};
[[nodiscard]] Conditions judge_conditions(const Work& work, const Judge& judge,
                                          const std::vector<Said>& said,
                                          const std::set<std::string>& wanting);

} // namespace slotwitness::ready
