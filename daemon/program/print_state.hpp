#pragma once

#include <slotwitness/marked/marked.hpp>
#include <slotwitness/state/reading.hpp>

#include <nlohmann/json_fwd.hpp>

#include <ostream>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::program {

/// Rows as a person reads them: a heading a kind, then one line a component with its facts.
void print_rows(std::ostream& out, const std::vector<state::Row>& rows);

/// "module FAB3: oper enabled; reading 310 W"
[[nodiscard]] std::string in_a_line(const state::Row& row);

/// What stands in the way of trusting the answer: unread lines and remarks, each with its place.
void print_doubts(std::ostream& out, const std::string& where, const state::Reading& reading);

/// The answer line by line with what became of each: its mark, under a row what it says, under an
/// unread line the furthest place reached and what was expected there. No colour.
void print_marked(std::ostream& out, const std::vector<marked::MarkedLine>& lines,
                  const state::Reading& reading);

/// "14 rows; 2 lines UNREAD, 1 remark".
[[nodiscard]] std::string counts_of(const state::Reading& reading);

[[nodiscard]] nlohmann::json to_json(const state::Reading& reading);
/// A member a line: `line`, `mark`, `text`, and `rows`, the places in `rows` of those that end
/// here.
[[nodiscard]] nlohmann::json to_json(const std::vector<marked::MarkedLine>& lines);

} // namespace slotwitness::program
