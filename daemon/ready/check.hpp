#pragma once

#include "look.hpp"
#include "report.hpp"
#include "work.hpp"

/// The ready check: what would hold a piece of work up, from one look at the chassis. It gives no
/// permission, and that nothing is found does not say that there is nothing.
namespace slotwitness::ready {

/// What the look has to ask: every query without parameters, and what the procedure's sentences
/// need beside them.
[[nodiscard]] std::vector<profiles::Asking> askings(const profiles::Profile& profile,
                                                    const procedures::FilledProcedure& procedure);

[[nodiscard]] Report check(const Work& work, const Look& look);

} // namespace slotwitness::ready
