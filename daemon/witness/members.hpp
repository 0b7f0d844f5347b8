#pragma once

#include "inventory.hpp"
#include "view.hpp"

#include <slotwitness/sentences/sentence.hpp>

#include <set>
#include <string>

namespace slotwitness::witness {

/// What a group ranges over: the rows listed now and the reference inventory.
struct Members {
    std::set<std::string> names;
    std::optional<Because> open;    ///< there may be members that are not among the names, and why
    std::vector<Cite> membership;   ///< what makes the names members, where that is a fact
    std::vector<Cite> completeness; ///< what makes them all, if they are
};

/// The planes that a module serves, or the modules that a fan tray covers, as the device tells it
/// now: of what an absent module served, no answer says.
[[nodiscard]] Members served_by(const View& view, Trust trust, const Component& serving,
                                state::Kind kind);

[[nodiscard]] Members members_of(const View& view, Trust trust, const Inventory& inventory,
                                 const sentences::Group& group);

} // namespace slotwitness::witness
