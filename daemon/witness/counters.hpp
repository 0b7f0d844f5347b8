#pragma once

#include "view.hpp"

#include <slotwitness/units/quantity.hpp>

#include <map>
#include <optional>
#include <set>

namespace slotwitness::witness {

/// Error counters as the earlier looks of one gate in one run showed them, in whole answers alone.
class Counters {
  public:
    /// A value that every look has shown since the one answered at `since`.
    struct Steady {
        units::Decimal value;
        Instant since;
        std::vector<Cite> cites; ///< of that look
    };

    [[nodiscard]] const Steady* of(const Component& component) const;
    /// Keeps what a look answered at `answered` tells of these. What it does not tell is kept from
    /// before, so that a rise across it is seen.
    void keep(const View& view, const std::set<Component>& components, Instant answered);
    void forget() { steady_.clear(); }

  private:
    std::map<Component, Steady> steady_;
};

/// The component's error counter; nothing, and `because` why, if it is not told as a bare number.
struct Count {
    std::optional<units::Decimal> value;
    Because because; ///< cites also with a value
};
[[nodiscard]] Count errors_of(const View& view, const Component& component, Trust trust);

} // namespace slotwitness::witness
