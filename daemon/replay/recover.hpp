#pragma once

#include "reread.hpp"

#include <slotwitness/witness/witness.hpp>

#include <cstdint>
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

/// One chassis as its journal leaves it.
struct Recovered {
    witness::Witness witness;
    std::optional<witness::RunStarted> last_run;
    units::Instant last_instant{}; ///< of the newest entry
    witness::RoundNumber last_round = 0;
    std::vector<RecordedGate> gates; ///< in the order of opening
    std::map<std::string, witness::GateFinding>
        recomputed; ///< the newest finding of each gate that was stepped again
    std::uint64_t entries = 0;
    std::optional<Difference> difference; ///< the first mismatch met on the way: to be said loudly
};

/// What a daemon needs to go on. Only the runs since a run began with no gate open and no baseline
/// wanted are stepped again: what came before has left nothing in the witness but its inventory,
/// which is taken from the recorded findings, and its baseline, whose answers are read again.
[[nodiscard]] tl::expected<Recovered, journal::StoreError> recover(journal::Store& store,
                                                                   std::string_view chassis);

/// The same by stepping over everything; must give the same (a property test).
[[nodiscard]] tl::expected<Recovered, journal::StoreError> recover_fully(journal::Store& store,
                                                                         std::string_view chassis);

/// True if a person or a program would be told something new: what a gate's revision counts.
[[nodiscard]] bool tells_something_new(const witness::GateFinding& before,
                                       const witness::GateFinding& after);

} // namespace slotwitness::replay
