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
    std::optional<Because> open; ///< there may be members that are not among the names, and why
};

[[nodiscard]] Members members_of(const View& view, Trust trust, const Inventory& inventory,
                                 const sentences::Group& group);

} // namespace slotwitness::witness
