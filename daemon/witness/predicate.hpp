#pragma once

#include "inventory.hpp"
#include "view.hpp"

#include <slotwitness/sentences/sentence.hpp>

namespace slotwitness::witness {

/// Does the component satisfy the predicate, as far as these answers tell?
///
/// A component that is in the inventory and that a whole and wholly read answer does not list is
/// absent: `present`, `up`, `operational` are then false, `absent` is true, all else is unknown.
/// One that is neither listed nor in the inventory is unknown: the name may be mistyped.
[[nodiscard]] Judgement judge(const View& view, Trust trust, const Inventory& inventory,
                              const Component& component, const sentences::Predicate& predicate);

} // namespace slotwitness::witness
