#pragma once

#include <slotwitness/state/reading.hpp>

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <type_traits>
#include <utility>
#include <vector>

namespace slotwitness::profiles {

/// The facts of a row while it is read, and what a person should know of them. Rows of one answer
/// mostly say the same things: each begins with a place for all that the rows above said, in the
/// order of the attributes, so that a fact is built where it stays, whatever the order of the
/// cells. What nothing was said of goes at the end.
class OpenFacts {
  public:
    /// `facts` are empty; until `end` they are not to be looked at.
    void begin(state::Facts& facts);
    /// What is said twice, and differently, is unknown.
    template <class Said>
    void say(state::Attribute attribute, state::Position at, Said&& said) {
        static_assert(std::is_nothrow_constructible_v<state::Value, Said&&>);
        put(attribute, at, std::forward<Said>(said));
    }
    /// The same for a value that is no text and no list: nothing is allocated for it.
    void say_word(state::Attribute attribute, state::Position at, const state::Value& word) {
        put(attribute, at, word);
    }
    void remark(state::Position at, std::string text) { remarks_.push_back({at, std::move(text)}); }
    /// The facts are whole; `remarks` gets those of this row.
    void end(std::vector<state::Remark>& remarks) {
        if (said_ != usual_)
            drop_unsaid();
        if (!remarks_.empty())
            hand_over(remarks);
    }

  private:
    using Bits = std::uint32_t; ///< of attributes
    static constexpr std::size_t count = static_cast<std::size_t>(state::Attribute::uptime) + 1;
    static_assert(count <= 32);

    static Bits bit(state::Attribute attribute) {
        return Bits{1} << static_cast<unsigned>(attribute);
    }
    template <class Said>
    void put(state::Attribute attribute, state::Position at, Said&& said) {
        if ((said_ & bit(attribute)) != 0) {
            say_again(attribute, at, std::forward<Said>(said));
            return;
        }
        if ((usual_ & bit(attribute)) == 0)
            make_place(attribute);
        said_ |= bit(attribute);
        state::Fact& fact = this->at(attribute);
        // In the place of an Unknown, which has nothing to destroy.
        std::construct_at(&fact.value, std::forward<Said>(said));
        fact.at = at;
    }
    state::Fact& at(state::Attribute attribute) {
        return facts_->nth(place_[static_cast<std::size_t>(attribute)])->second;
    }
    void say_again(state::Attribute attribute, state::Position at, const state::Value& value);
    void make_place(state::Attribute attribute);
    void drop_unsaid();
    void hand_over(std::vector<state::Remark>& remarks);

    state::Facts* facts_ = nullptr;
    Bits usual_ = 0; ///< what has a place
    Bits said_ = 0;
    std::vector<state::Attribute> in_order_;  ///< those of `usual_`
    std::array<std::uint8_t, count> place_{}; ///< of each of them
    std::vector<state::Remark> remarks_;      ///< of this row
};

} // namespace slotwitness::profiles
