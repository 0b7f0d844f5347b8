#pragma once

#include "oracle.hpp"

#include <slotwitness/witness/witness.hpp>

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace slotwitness::oracle {

[[nodiscard]] witness::Instant instant(Time at);
[[nodiscard]] Time time(witness::Instant at);
[[nodiscard]] Truth from(witness::Truth truth);
[[nodiscard]] Verdict from(witness::Verdict verdict);
/// Their names, sorted.
[[nodiscard]] std::vector<std::string> keys(const std::vector<Asking>& askings);
/// What the device or the daemon does, as the witness is told it; a tick for what people do.
[[nodiscard]] witness::Event told_by_device(const Event& event);

/// The real witness, played the oracle's events as a device would have told them: answers become
/// readings with rows, conditions become sentences. What it says comes back in the oracle's words.
class Driven {
  public:
    /// Gate n of the events gets `sentences[n]`.
    Driven(std::vector<Gate> gates, std::vector<std::string> sentences);

    void step(const Event& event);
    /// Of the newest finding, with confidence taken back where it has run out by `now`.
    [[nodiscard]] Said said(std::size_t gate, Time now) const;
    /// When the witness wants its next tick.
    [[nodiscard]] std::optional<Time> next_due() const { return next_due_; }
    /// The rounds that were journalled as missed for the gate.
    [[nodiscard]] std::set<int> missed(std::size_t gate) const;
    /// The text of the refusal, if the gate was refused.
    [[nodiscard]] std::optional<std::string> refused(std::size_t gate) const;

  private:
    [[nodiscard]] const witness::GateFinding* finding(std::size_t gate) const;
    [[nodiscard]] witness::Event translate(const Event& event) const;

    std::vector<Gate> gates_;
    std::vector<std::string> sentences_;
    witness::Witness witness_;
    std::map<std::string, witness::GateFinding> newest_;
    std::map<std::string, std::string> refused_;
    std::map<std::string, std::set<int>> missed_;
    std::optional<Time> next_due_;
};

} // namespace slotwitness::oracle
