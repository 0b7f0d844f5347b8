#pragma once

#include "finding.hpp"
#include "inventory.hpp"
#include "view.hpp"

#include <map>
#include <set>
#include <string>
#include <vector>

namespace slotwitness::witness {

/// What the chassis was when somebody asked for it to be kept: the answers of one round, every one
/// whole. A comparison reads them by the same rules as those of a look.
struct Baseline {
    Baseline(BaselineFixed its, std::vector<Heard> answers);

    BaselineFixed fixed;
    View view;

    /// Of each kind that these answers list whole and wholly read, what there was of it.
    [[nodiscard]] std::map<state::Kind, Inventory::Names> inventory() const;
    /// "the baseline of 2026-11-25T08:54:17.000Z"
    [[nodiscard]] std::string spoken() const;
};

} // namespace slotwitness::witness
