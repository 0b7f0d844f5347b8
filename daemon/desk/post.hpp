#pragma once

#include "live_desk.hpp"

#include <slotwitness/timeline/timeline.hpp>
#include <slotwitness/warming/warming.hpp>

#include <atomic>
#include <memory>
#include <string>

/// Inside of the live desk: what its sources share.
namespace slotwitness::desk {

struct LiveDesk::Post {
    explicit Post(const ChassisSettings& its_settings)
        : settings(its_settings), timeline(longest_gap(its_settings)) {}

    const ChassisSettings& settings;
    std::unique_ptr<Sequencer> sequencer;
    std::unique_ptr<Watcher> watcher;
    warming::Warming warming;    ///< as of the newest stored event
    timeline::Timeline timeline; ///< likewise
    std::unique_ptr<Alarm> pause;
    /// run.started is in the journal; read on the journal's thread as well.
    std::shared_ptr<std::atomic<bool>> begun = std::make_shared<std::atomic<bool>>(false);
    std::string trouble;    ///< why the newest event is not recorded; empty if it is
    std::string difference; ///< recovery met findings that it could not recompute
};

[[nodiscard]] Refusal refusal(Refusal::Kind kind, std::string found, std::string expected,
                              std::string remedy);
/// The journal does not take events now.
[[nodiscard]] Refusal not_recorded(const Recorded& recorded);

} // namespace slotwitness::desk
