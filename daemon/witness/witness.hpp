#pragma once

#include "event.hpp"
#include "finding.hpp"

#include <slotwitness/sentences/sentence.hpp>

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

/// The judge of one chassis: pure. It owns no clock, socket, file, thread or random source; the
/// same events in the same order give the same findings.
namespace slotwitness::witness {

/// Raised whenever a step would judge otherwise than before; the journal carries it.
/// 2: capacity, comparisons with the baseline and with earlier looks; the smallest set of facts.
/// 3: read-back codes; no technician's step is released before the right chassis is known; what was
/// lost while nothing could be recorded; sensors that do not tell while the cooling clock runs; the
/// handback: a procedure is done only once nothing differs that was not meant to.
/// 5: the turn-back time by one rehearsed figure; sensors' limits as the device states them;
/// switchovers are told; a remark on an answer about another name than was asked for.
/// 6: what no row of a component tells is unknown where a line that nobody read, in another answer
/// about its kind, may tell it. Readings: what else an unread line may name; documents that end
/// before their end are not whole; two components of one name in RFC 8348's list are in doubt.
inline constexpr int semantics_version = 6;

struct Baseline; ///< in baseline.hpp
class State;     ///< what the witness remembers of one chassis; a value, in state.hpp

struct Outcome {
    std::vector<Finding> findings;
    std::optional<Instant> next_due; ///< a Tick is wanted then; nothing if none is
};

/// What a witness keeps of runs that left nothing open: all that a later step can depend on.
struct Remembered {
    std::map<state::Kind, std::vector<std::string>>
        inventory;                  ///< as the first whole looks fixed it
    std::vector<std::string> gates; ///< ids given so far, also to procedures; none is given twice
    std::shared_ptr<const Baseline> baseline; ///< null: there is none
};

/// One chassis under witness. Copyable at once, however much it remembers: a copy is a snapshot
/// that steps on by itself. Copies share what they remember until one of them steps, which then
/// makes its own. A copy may be read on another thread; whoever steps must hold a second copy
/// meanwhile, or have joined that thread.
class Witness {
  public:
    Witness();
    explicit Witness(const Remembered& remembered);
    /// First handles the due instants < event.at, then the event, then those = event.at. Events
    /// come in order of `at` (equal is allowed); an earlier `at` is a defect of the caller and
    /// throws std::logic_error.
    [[nodiscard]] Outcome step(const Event& event);

    /// What `step` would refuse a gate for at this point; nothing if it would open it.
    [[nodiscard]] std::optional<state::Problem> refusal(const GateOpened& gate) const;
    /// As for a gate.
    [[nodiscard]] std::optional<state::Problem> refusal(const ProcedureOpened& procedure) const;

    /// What stops the work of a procedure, and nobody has answered for.
    [[nodiscard]] std::vector<UnrecordedLoss> lost() const;

    /// The keys that are to be asked now: for gates, pending and guarded, and for a baseline that
    /// is wanted.
    [[nodiscard]] std::vector<std::string> wanted_askings() const;

    /// The baseline that there is; nothing if there is none.
    [[nodiscard]] std::optional<BaselineFixed> baseline() const;
    [[nodiscard]] bool baseline_wanted() const;

  private:
    std::shared_ptr<State> state_; ///< written only where no other copy holds it
};

} // namespace slotwitness::witness
