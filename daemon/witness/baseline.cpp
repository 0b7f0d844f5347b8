#include "baseline.hpp"

#include <utility>

namespace slotwitness::witness {

Baseline::Baseline(BaselineFixed its, std::vector<Heard> answers)
    : fixed(std::move(its)), view(std::move(answers), {}) {}

std::map<state::Kind, Inventory::Names> Baseline::inventory() const {
    std::map<state::Kind, Inventory::Names> inventory;
    for (const state::Kind kind : state::words_of<state::Kind>())
        if (!view.may_have_more(kind)) {
            const auto listed = view.listed(kind);
            inventory.emplace(kind, Inventory::Names(listed.begin(), listed.end()));
        }
    return inventory;
}

std::string Baseline::spoken() const {
    return "the baseline of " + units::to_rfc3339(fixed.at);
}

} // namespace slotwitness::witness
