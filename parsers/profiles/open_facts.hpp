#pragma once

#include <slotwitness/state/reading.hpp>

#include <array>
#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

namespace slotwitness::profiles {

/// The facts of a row while it is read. Rows of one answer mostly say the same things: each begins
/// with a place for all that the rows above said, in the order of the attributes, so that a fact is
/// built where it stays, whatever the order of the cells. What nothing was said of goes at the end.
class OpenFacts {
  public:
    /// `facts` are empty; until `end` they are not to be looked at.
    void begin(state::Facts& facts);
    /// What this row has said of the attribute; null if nothing.
    [[nodiscard]] state::Fact* said(state::Attribute attribute) {
        return (said_ & bit(attribute)) != 0 ? &at(attribute) : nullptr;
    }
    /// The first that this row says of the attribute.
    template <class Said>
    void add(state::Attribute attribute, Said&& said, state::Position at) {
        if ((usual_ & bit(attribute)) == 0)
            make_place(attribute);
        said_ |= bit(attribute);
        state::Fact& fact = this->at(attribute);
        fact.value = std::forward<Said>(said);
        fact.at = at;
    }
    void end() {
        if (said_ != usual_)
            drop_unsaid();
    }

  private:
    using Bits = std::uint32_t; ///< of attributes
    static constexpr std::size_t count = static_cast<std::size_t>(state::Attribute::uptime) + 1;
    static_assert(count <= 32);

    static Bits bit(state::Attribute attribute) {
        return Bits{1} << static_cast<unsigned>(attribute);
    }
    state::Fact& at(state::Attribute attribute) {
        return facts_->nth(place_[static_cast<std::size_t>(attribute)])->second;
    }
    void make_place(state::Attribute attribute);
    void drop_unsaid();

    state::Facts* facts_ = nullptr;
    Bits usual_ = 0; ///< what has a place
    Bits said_ = 0;
    std::vector<state::Attribute> in_order_;  ///< those of `usual_`
    std::array<std::uint8_t, count> place_{}; ///< of each of them
};

} // namespace slotwitness::profiles
