#pragma once

#include "evaluate.hpp"
#include "procedure_finding.hpp"
#include "signs.hpp"

namespace slotwitness::witness {

/// What must hold throughout a part of a procedure. False at one look, it stays lost until
/// somebody answers for it, whatever later looks tell.
class Rule {
  public:
    Rule(const std::string& procedure, RulePlan plan, sentences::Condition holds);

    [[nodiscard]] const RulePlan& plan() const { return plan_; }
    [[nodiscard]] const RuleFinding& finding() const { return finding_; }
    /// Only answers asked then or later count; nothing while it is not active.
    [[nodiscard]] std::optional<Instant> since() const { return since_; }

    void begin(Instant at);
    void end();
    /// The answers of a round so far. While some are missing, or if it is overdue (`confirms` is
    /// false), they can refute it, no more.
    void look(Look look, bool confirms, Grounds grounds);
    /// A named person takes it upon them. False: there is nothing to answer.
    [[nodiscard]] bool answer(std::string_view by, std::string_view reason);
    /// Readings are discarded; what was lost stays so.
    void restart();
    /// It was seen to be false, though no answer in the journal shows it.
    void lose();

    [[nodiscard]] std::optional<Instant> due() const;
    void reach(Instant now);

  private:
    RulePlan plan_;
    sentences::Condition holds_;
    RuleFinding finding_;
    Signs signs_;
    Counters counters_;
    std::optional<Instant> since_;
    bool true_since_lost_ = false; ///< then it is no longer what somebody answers for
};

} // namespace slotwitness::witness
