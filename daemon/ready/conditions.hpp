#pragma once

#include "judge.hpp"
#include "report.hpp"
#include "said.hpp"

#include <vector>

namespace slotwitness::ready {

/// What the procedure's sentences say by this look, and which of it holds the work up. What is
/// unknown for want of an answer is no finding of its own where `told_before` has that answer.
struct Conditions {
    std::vector<Judged> now;   ///< part by part; what several sentences need is told once
    std::vector<Judged> later; ///< sentence by sentence
    std::vector<Finding> findings;
};
[[nodiscard]] Conditions judge_conditions(const Work& work, const Judge& judge,
                                          const std::vector<Said>& said,
                                          const std::vector<Finding>& told_before);

} // namespace slotwitness::ready
