#pragma once

#include <slotwitness/state/reading.hpp>

#include <nlohmann/json_fwd.hpp>

#include <ostream>
#include <vector>

namespace slotwitness::program {

/// Rows as a person reads them: a heading a kind, then one line a component with its facts.
void print_rows(std::ostream& out, const std::vector<state::Row>& rows);

/// What stands in the way of trusting the answer: unread lines and remarks, each with its place.
void print_doubts(std::ostream& out, const std::string& where, const state::Reading& reading);

[[nodiscard]] nlohmann::json to_json(const state::Reading& reading);

} // namespace slotwitness::program
