#pragma once

#include "look.hpp"
#include "said.hpp"
#include "work.hpp"

#include <slotwitness/witness/baseline.hpp>
#include <slotwitness/witness/inventory.hpp>

#include <optional>
#include <set>

namespace slotwitness::ready {

/// Judges conditions by one look as the witness does. What is compared with the baseline is
/// compared with this very look, if each of its answers is whole: the work's own baseline is kept
/// as the work is opened.
class Judge {
  public:
    Judge(const Work& work, const Look& look);

    /// By the answers to these queries.
    [[nodiscard]] witness::Judgement judge(const sentences::Condition& condition,
                                           const std::set<profiles::Asking>& needs) const;
    /// All answers.
    [[nodiscard]] const witness::View& whole() const { return whole_; }

  private:
    const Work& work_;
    const Look& look_;
    witness::View whole_;
    witness::Inventory inventory_;
    std::optional<witness::Baseline> baseline_;
};

} // namespace slotwitness::ready
