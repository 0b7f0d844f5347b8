#pragma once

#include "event.hpp"
#include "inventory.hpp"

#include <slotwitness/sentences/sentence.hpp>

#include <tl/expected.hpp>

#include <functional>
#include <string>

namespace slotwitness::witness {

/// Longest gap, refresh and guard time: as for the durations of a sentence, so that instants do not
/// overflow.
inline constexpr Duration longest_setting = sentences::longest_duration;

/// Is there, or was there, such a component? Only asked of kinds that have an inventory.
struct Known {
    const Inventory& inventory;
    /// Names of each kind that the newest whole answers list beside the inventory: a card in a slot
    /// that was empty at the first look may be asked for too.
    const std::map<state::Kind, Inventory::Names>& listed;
};

/// The gate's sentence, or why the gate cannot be opened.
[[nodiscard]] tl::expected<sentences::Sentence, state::Problem> admit(const GateOpened& gate,
                                                                      const Known& known);

/// The conditions of the procedure's rules, in order, or why it cannot be opened: every sentence
/// must be one that can be judged, on components that the chassis is known to have.
[[nodiscard]] tl::expected<std::vector<sentences::Condition>, state::Problem>
admit(const ProcedureOpened& procedure, const Known& known);

} // namespace slotwitness::witness
