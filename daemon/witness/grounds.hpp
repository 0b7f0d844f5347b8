#pragma once

#include "baseline.hpp"
#include "counters.hpp"
#include "inventory.hpp"
#include "view.hpp"

#include <slotwitness/units/quantity.hpp>

#include <optional>

namespace slotwitness::witness {

/// All that a condition is judged on: the answers of one look, and what is known from before it.
struct Grounds {
    const View& view;
    const Inventory& inventory;
    const Baseline* baseline = nullptr; ///< null: there is none
    const Counters* counters = nullptr; ///< of earlier looks; null: there was none
    Instant shown_since{}; ///< a − R: what this look shows was so at this instant or later
    std::optional<units::Decimal> peak_load = std::nullopt; ///< b/s, as the configuration states it
};

} // namespace slotwitness::witness
