#pragma once

#include <slotwitness/marked/marked.hpp>
#include <slotwitness/state/reading.hpp>

#include <nlohmann/json_fwd.hpp>

#include <ostream>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::program {

/// Rows as a person reads them on a terminal of so many columns: a table a kind, with the device's
/// own line where it has room. Without a terminal (0) each line says everything of one component,
/// and its chassis: "edge-7 module FAB3: oper enabled; reading 310 W". Of the kinds in `listed`
/// whole answers named every one: where there is no row of them, that is told.
void print_rows(std::ostream& out, const std::string& chassis, const std::vector<state::Row>& rows,
                const std::set<state::Kind>& listed, std::size_t columns);

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
