#pragma once

#include "counts.hpp"
#include "handback.hpp"

#include <memory>
#include <optional>
#include <string_view>

namespace slotwitness::witness {

/// The handback of one procedure: its own baseline, compared with each whole look since.
class HandbackWatch {
  public:
    HandbackWatch(const std::string& procedure, const HandbackPlan& plan, std::string_view by);

    [[nodiscard]] const std::shared_ptr<const HandbackFinding>& finding() const { return finding_; }

    /// The state before the work. The first one counts: what is kept later is no baseline of it.
    void keep(std::shared_ptr<const Baseline> baseline);
    /// A round that asked for all of the chassis has ended. `ended`: when the last step did, if it
    /// has; `way`: that on which the work is.
    void look(Look look, const View& now, std::optional<Instant> ended, Way way);
    /// False: neither the baseline nor the newest look has that component.
    [[nodiscard]] bool waive(const Component& component, std::string_view by,
                             std::string_view reason);
    /// Readings are discarded.
    void restart();

    /// Why the work cannot be closed as if all were accounted for; nothing if it can.
    [[nodiscard]] std::optional<std::string> why_not(Instant at) const;

    /// The newest look was asked after the last step had ended.
    [[nodiscard]] bool compared_at_end() const { return finding_->seen && finding_->at_end; }
    /// Then something surely differs that was not meant to, and nobody has waived it.
    [[nodiscard]] bool differs() const;
    /// What differs, or is not known, and nobody has waived; empty if there is nothing.
    [[nodiscard]] std::string differences() const;

    [[nodiscard]] std::optional<Instant> due() const;
    void reach(Instant now);

  private:
    using Items = std::vector<HandbackItem>;
    using AllFigures = std::map<state::Kind, Figures>;
    /// Another finding, which copies of this do not see.
    void show(HandbackFinding finding);
    [[nodiscard]] Items waived() const;

    HandbackPlan plan_;
    std::shared_ptr<const Baseline> baseline_;       ///< null: there is none
    std::shared_ptr<const AllFigures> figures_then_; ///< of the baseline
    std::vector<Waiver> waivers_;
    std::shared_ptr<const Items> items_; ///< of the newest look, nothing waived
    std::optional<Instant> valid_until_;
    std::shared_ptr<const HandbackFinding> finding_;
};

} // namespace slotwitness::witness
