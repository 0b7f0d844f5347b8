#pragma once

#include "card.hpp"

#include <nlohmann/json_fwd.hpp>

#include <string>

namespace slotwitness::card {

/// The card in 80 columns: what is wrong and what is out first, then what was done. Times are UTC.
[[nodiscard]] std::string to_text(const Card& card);

/// The card on one page of A4, in the run sheet's look. All that stands in it is text.
[[nodiscard]] std::string to_page(const Card& card);

/// The card for programs. Steps, rules and clocks as the API spells them elsewhere.
[[nodiscard]] nlohmann::json to_json(const Card& card);

} // namespace slotwitness::card
