#include "open_facts.hpp"

#include <algorithm>
#include <iterator>

namespace slotwitness::profiles {

void OpenFacts::begin(state::Facts& facts) {
    facts_ = &facts;
    said_ = 0;
    remarks_.clear();
    state::Facts::sequence_type places(in_order_.size());
    auto* place = places.data();
    for (const state::Attribute attribute : in_order_)
        (place++)->first = attribute;
    facts.adopt_sequence(boost::container::ordered_unique_range, std::move(places));
}

void OpenFacts::say_again(state::Attribute attribute, state::Position at,
                          const state::Value& value) {
    state::Fact& before = this->at(attribute);
    if (before.value == value)
        return;
    if (!std::holds_alternative<state::Unknown>(before.value) &&
        !std::holds_alternative<state::Unknown>(value))
        remark(at, std::string{to_word(attribute)} + " is said to be " +
                       state::to_text(before.value) + " and " + state::to_text(value) +
                       " in one row: unknown");
    before.value = state::Unknown{};
}

void OpenFacts::make_place(state::Attribute attribute) {
    facts_->try_emplace(attribute);
    usual_ |= bit(attribute);
    in_order_.insert(std::upper_bound(in_order_.begin(), in_order_.end(), attribute), attribute);
    for (std::size_t i = 0; i < in_order_.size(); ++i)
        place_[static_cast<std::size_t>(in_order_[i])] = static_cast<std::uint8_t>(i);
}

void OpenFacts::drop_unsaid() {
    state::Facts::sequence_type said = facts_->extract_sequence();
    const auto is_unsaid = [&](const auto& fact) { return (said_ & bit(fact.first)) == 0; };
    said.erase(std::remove_if(said.begin(), said.end(), is_unsaid), said.end());
    facts_->adopt_sequence(boost::container::ordered_unique_range, std::move(said));
}

void OpenFacts::hand_over(std::vector<state::Remark>& remarks) {
    std::move(remarks_.begin(), remarks_.end(), std::back_inserter(remarks));
    remarks_.clear();
}

} // namespace slotwitness::profiles
