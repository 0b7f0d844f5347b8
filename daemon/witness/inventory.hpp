#pragma once

#include <slotwitness/state/words.hpp>

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::witness {

/// What a chassis has, by kind: as the configuration states it, else as the first whole and wholly
/// read look listed it. Without it a pulled card would merely drop out of a list, and nobody would
/// miss it.
class Inventory {
  public:
    using Names = std::set<std::string, std::less<>>;

    /// Takes the place of what an earlier run's configuration stated. A kind without names is not
    /// stated.
    void state(const std::map<state::Kind, std::vector<std::string>>& configured);

    /// Fixes a kind by a look. False, and nothing changes, if that kind has an inventory already.
    [[nodiscard]] bool fix(state::Kind kind, Names names);

    /// Nothing if there is no inventory of this kind yet.
    [[nodiscard]] const Names* of(state::Kind kind) const;
    [[nodiscard]] bool has(state::Kind kind, std::string_view name) const;

    /// "inventory from the configuration", "inventory from the first whole look", "no inventory
    /// yet"
    [[nodiscard]] std::string_view source(state::Kind kind) const;

  private:
    std::map<state::Kind, Names> stated_;
    std::map<state::Kind, Names> seen_;
};

} // namespace slotwitness::witness
