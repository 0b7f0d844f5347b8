#include "inventory.hpp"

#include <utility>

namespace slotwitness::witness {

void Inventory::state(const std::map<state::Kind, std::vector<std::string>>& configured) {
    stated_.clear();
    for (const auto& [kind, names] : configured)
        if (!names.empty())
            stated_.emplace(kind, Names(names.begin(), names.end()));
}

bool Inventory::fix(state::Kind kind, Names names) {
    if (before_baseline(kind) != nullptr)
        return false;
    seen_.emplace(kind, std::move(names));
    return true;
}

const Inventory::Names* Inventory::of(state::Kind kind) const {
    if (const auto kept = kept_.find(kind); kept != kept_.end())
        return &kept->second;
    return before_baseline(kind);
}

const Inventory::Names* Inventory::before_baseline(state::Kind kind) const {
    if (const auto stated = stated_.find(kind); stated != stated_.end())
        return &stated->second;
    if (const auto seen = seen_.find(kind); seen != seen_.end())
        return &seen->second;
    return nullptr;
}

bool Inventory::has(state::Kind kind, std::string_view name) const {
    for (const Names* names : {of(kind), before_baseline(kind)})
        if (names != nullptr && names->find(name) != names->end())
            return true;
    return false;
}

Inventory::Names Inventory::names(state::Kind kind) const {
    Names all;
    for (const Names* names : {of(kind), before_baseline(kind)})
        if (names != nullptr)
            all.insert(names->begin(), names->end());
    return all;
}

std::string_view Inventory::source(state::Kind kind) const {
    if (kept_.contains(kind))
        return "inventory from the baseline";
    if (stated_.contains(kind))
        return "inventory from the configuration";
    if (seen_.contains(kind))
        return "inventory from the first whole look";
    return "no inventory yet";
}

} // namespace slotwitness::witness
