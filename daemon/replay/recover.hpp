#pragma once

#include "reread.hpp"

#include <slotwitness/warming/warming.hpp>
#include <slotwitness/witness/witness.hpp>

#include <cstdint>
#include <deque>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::replay {

/// A gate as the journal knows it.
struct RecordedGate {
    witness::GateOpened opened;
    witness::GateFinding
        finding; ///< the newest recorded one: recorded findings win over recomputed ones
    std::uint64_t changes =
        0; ///< how often verdict, failure, standing, truth or reason moved since the opening
};

/// A procedure as the journal knows it: the newest recorded finding of each of its parts.
struct RecordedProcedure {
    witness::ProcedureOpened opened;
    witness::ProcedureFinding finding;
    std::map<std::string, witness::StepFinding> steps;
    std::map<std::string, witness::RuleFinding> rules;
    std::optional<witness::CoolingFinding> cooling;
    std::optional<witness::HandbackFinding> handback;
    std::uint64_t changes = 0; ///< how often a person was told something new since the opening
    std::optional<witness::ChassisFinding> chassis; ///< once its serial was read from the rack
    std::optional<witness::PartFinding> part{};     ///< of work in a slot
};

/// One chassis as its journal leaves it.
struct Recovered {
    witness::Witness witness;
    warming::Warming warming;
    std::optional<witness::RunStarted> last_run;
    units::Instant last_instant{}; ///< of the newest entry
    witness::RoundNumber last_round = 0;
    std::string serial{}; ///< of the chassis, as the newest session told it; empty: none has
    /// Within the hour before the newest entry: when a query was asked, when a run began.
    std::deque<units::Instant> asked_lately{}, began_lately{};
    std::vector<RecordedGate> gates; ///< in the order of opening, those of procedures as well
    std::vector<RecordedProcedure> procedures; ///< in the order of opening
    std::map<std::string, witness::GateFinding>
        recomputed; ///< the newest finding of each gate that was stepped again
    std::vector<RecordedProcedure> recomputed_procedures; ///< as `recomputed`, in order of opening
    std::uint64_t entries = 0;
    std::optional<Difference> difference; ///< the first mismatch met on the way: to be said loudly
};

/// Sees each event that is stepped again, with its reading and its recorded findings, in order.
using Onlooker =
    std::function<void(const witness::Event& event, const std::vector<witness::Finding>& findings)>;

/// What a daemon needs to go on. Only the runs since a run began with no gate or procedure open and
/// no baseline wanted are stepped again: what came before has left nothing in the witness but its
/// inventory, which is taken from the recorded findings, and its baseline, whose answers are read
/// again.
[[nodiscard]] tl::expected<Recovered, journal::StoreError>
recover(journal::Store& store, std::string_view chassis, const Onlooker& onlooker = {});

/// The same by stepping over everything; must give the same (a property test).
[[nodiscard]] tl::expected<Recovered, journal::StoreError> recover_fully(journal::Store& store,
                                                                         std::string_view chassis);

/// Takes what is to be said of a procedure's part into it. False: it is of another one.
bool take(RecordedProcedure& procedure, const witness::Finding& finding);

/// The gate of a procedure's step, of which nothing but its findings is recorded.
[[nodiscard]] witness::GateOpened opened_by_procedure(const witness::GateFinding& finding);

/// True if a person or a program would be told something new: what a gate's revision counts.
[[nodiscard]] bool tells_something_new(const witness::GateFinding& before,
                                       const witness::GateFinding& after);

} // namespace slotwitness::replay
