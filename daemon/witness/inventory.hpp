#pragma once

#include <slotwitness/state/words.hpp>

#include <boost/container/flat_set.hpp>

#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace slotwitness::witness {

/// What a chassis has, by kind: as the baseline listed it, else as the configuration states it,
/// else as the first whole and wholly read look listed it. Without it a pulled card would merely
/// drop out of a list, and nobody would miss it.
class Inventory {
  public:
    /// In one piece of memory: there is one for each kind of each chassis of a network, and each
    /// step of a witness copies them.
    using Names = boost::container::flat_set<std::string, std::less<>>;

    /// Takes the place of what an earlier run's configuration stated. A kind without names is not
    /// stated.
    void state(const std::map<state::Kind, std::vector<std::string>>& configured);

    /// Fixes a kind by a look. False, and nothing changes, if that kind has an inventory already.
    [[nodiscard]] bool fix(state::Kind kind, Names names);

    /// Takes the place of what an earlier baseline listed.
    void keep(std::map<state::Kind, Names> baseline) { kept_ = std::move(baseline); }

    /// Nothing if there is no inventory of this kind yet.
    [[nodiscard]] const Names* of(state::Kind kind) const;
    /// In that inventory, or in the one whose place the baseline took: what was missing when the
    /// baseline was made still has its name.
    [[nodiscard]] bool has(state::Kind kind, std::string_view name) const;
    /// All names for which that is so.
    [[nodiscard]] Names names(state::Kind kind) const;

    /// "inventory from the baseline", "inventory from the configuration", "inventory from the first
    /// whole look", "no inventory yet"
    [[nodiscard]] std::string_view source(state::Kind kind) const;

  private:
    [[nodiscard]] const Names* before_baseline(state::Kind kind) const;

    std::map<state::Kind, Names> kept_;
    std::map<state::Kind, Names> stated_;
    std::map<state::Kind, Names> seen_;
};

} // namespace slotwitness::witness
