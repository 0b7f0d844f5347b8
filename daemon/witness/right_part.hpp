#pragma once

#include "baseline.hpp"
#include "procedure_finding.hpp"
#include "view.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace slotwitness::witness {

/// Whether the part that appears in the work slot is the one that the work asks for: the spare, or
/// on the way back, and of a reseat or a refit, the part that was there. Told as soon as a look
/// shows its serial; the part of before the work is right or wrong only once the slot was empty.
class RightPart {
  public:
    /// Of a plan with a work slot in which something is done.
    RightPart(const std::string& procedure, WorkPlan plan);

    [[nodiscard]] const PartFinding& finding() const { return finding_; }
    /// Another part is there, and nobody has answered for it.
    [[nodiscard]] bool is_wrong() const {
        return finding_.right == Truth::no && !finding_.accepted;
    }
    /// As a problem, with what to do.
    [[nodiscard]] state::Problem wrong() const;

    /// What was in the slot before the work. The first one counts.
    void keep(const Baseline& baseline);
    void look(const View& now);
    /// From now on the old part belongs there.
    void turn_back();
    /// A named person goes on with this part. False: there is nothing to answer.
    [[nodiscard]] bool answer(std::string_view by, std::string_view reason);

    /// What is there, and what was meant: a sentence without its full stop.
    [[nodiscard]] std::string said() const;

  private:
    [[nodiscard]] bool wants_another() const { return plan_.work == Work::replace && !back_; }
    [[nodiscard]] Truth judge(const std::string& serial) const;
    [[nodiscard]] bool is_old(std::string_view serial) const;
    [[nodiscard]] std::string meant() const;
    void show(std::string serial);

    WorkPlan plan_;
    bool has_baseline_ = false;
    std::string old_;      ///< serial before the work; empty: not known
    bool back_ = false;    ///< on the way back
    bool is_out_ = false;  ///< the slot was empty when last seen
    bool was_out_ = false; ///< and at some look of this way
    PartFinding finding_;
};

} // namespace slotwitness::witness
