#pragma once

#include "grounds.hpp"
#include "judgement.hpp"

#include <slotwitness/sentences/sentence.hpp>

#include <set>

namespace slotwitness::witness {

struct Evaluation {
    Judgement judgement;
    std::set<Component> read;    ///< the components whose state the condition looked at
    std::set<Component> counted; ///< those whose error counters it compares with earlier looks
};

/// The truth of a condition in one look, in Kleene's strong logic, and a smallest set of facts that
/// decide it.
///
/// With T0 the truth with every fact from answers that are not whole unknown, and T1 with them as
/// they read, it is T0 if that is definite, else false if T1 is false, else unknown: such an answer
/// may refute, never confirm.
[[nodiscard]] Evaluation evaluate(const sentences::Condition& condition, const Grounds& grounds);

} // namespace slotwitness::witness
