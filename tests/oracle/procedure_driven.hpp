#pragma once

#include "procedure_oracle.hpp"

#include <slotwitness/witness/witness.hpp>

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace slotwitness::oracle {

/// The real witness, played what happens in a procedure. What it says comes back in the oracle's
/// words.
class DrivenProcedure {
  public:
    explicit DrivenProcedure(Procedure procedure) : procedure_(std::move(procedure)) {}

    void happen(const Happened& happened);
    void tick(Time at);
    [[nodiscard]] Told told() const;
    [[nodiscard]] std::optional<Time> next_due() const { return next_due_; }

  private:
    void step(const witness::Event& event);
    [[nodiscard]] witness::Event translate(const Happened& happened) const;
    [[nodiscard]] std::optional<Verdict> verdict(const std::string& id) const;
    [[nodiscard]] witness::StepAct act(const Happened& happened) const;
    [[nodiscard]] std::string read_back(const Happened& happened) const;

    Procedure procedure_;
    witness::Witness witness_;
    std::map<std::string, witness::GateFinding> gates_;
    std::set<std::string> others_; ///< gates that somebody else opened
    std::map<std::string, witness::StepFinding> steps_;
    std::map<std::string, witness::RuleFinding> rules_;
    std::optional<witness::CoolingFinding> cooling_;
    std::optional<witness::ChassisFinding> chassis_;
    std::optional<witness::ProcedureFinding> finding_;
    std::vector<std::map<std::string, std::uint64_t>> revisions_; ///< after each happening
    std::optional<Time> next_due_;
    bool refused_ = false;
};

} // namespace slotwitness::oracle
