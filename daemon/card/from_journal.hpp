#pragma once

#include "card.hpp"

#include <slotwitness/journal/store.hpp>

#include <tl/expected.hpp>

#include <optional>
#include <string_view>
#include <vector>

namespace slotwitness::card {

/// What a chassis' journal holds for its cards.
struct FromJournal {
    std::vector<replay::RecordedGate> gates; ///< that people or programs opened, in order
    std::vector<Record> procedures;          ///< in the order of opening
    Instant last;                            ///< of the newest entry
};

/// Reads every answer again from its capture, as a replay does, and takes the recorded findings as
/// they are: whether they follow from the answers `replay` says. A chain that is not whole is an
/// error. With `until`: as it was then.
[[nodiscard]] tl::expected<FromJournal, journal::StoreError>
from_journal(journal::Store& store, std::string_view chassis,
             std::optional<Instant> until = std::nullopt);

} // namespace slotwitness::card
