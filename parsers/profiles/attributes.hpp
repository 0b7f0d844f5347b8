#pragma once

#include "profile.hpp"

#include <optional>
#include <set>
#include <string_view>

/// What the schema knows of attributes: which type of value each has, and what a query gives.
namespace slotwitness::profiles {

enum class ValueType { word, text, names, quantity };
[[nodiscard]] ValueType type_of(state::Attribute attribute);

/// The unit that a quantity of this attribute has; nothing: a sensor's reading may have any.
[[nodiscard]] std::optional<units::Unit> unit_of(state::Attribute attribute);

/// "enabled" for oper, as the value of the right type; "unknown" also where RFC 8348 has no such
/// word.
[[nodiscard]] std::optional<state::Value> value_of(state::Attribute attribute,
                                                   std::string_view word);
/// The words that value_of takes.
[[nodiscard]] std::vector<std::string_view> words_for(state::Attribute attribute);

/// What a word list can say.
[[nodiscard]] std::set<state::Attribute> attributes_of(const WordList& words);
/// What a cell can say.
[[nodiscard]] std::set<state::Attribute> attributes_of(const Profile& profile,
                                                       const Meaning& meaning);
/// What the rows of a query can say.
[[nodiscard]] std::set<state::Attribute> attributes_of(const Profile& profile, const Query& query);

/// Names of the parameters in the query's words, in their order.
[[nodiscard]] std::vector<std::string> parameters_of(const Query& query);

} // namespace slotwitness::profiles
