#pragma once

#include <slotwitness/chassis/snapshot.hpp>
#include <slotwitness/state/reading.hpp>

#include <map>
#include <string>
#include <vector>

namespace slotwitness::chassis::checks {

/// What a reader must know of one row: neither more nor less.
struct ExpectedRow {
    state::Kind kind = state::Kind::chassis;
    std::string name;
    std::map<state::Attribute, state::Value> facts;
};

/// What the answer to a query of fixtures/quillon/profile.toml must read as, by what the model
/// says.
[[nodiscard]] std::vector<ExpectedRow> expected_rows(const std::string& query, const Snapshot& now);
[[nodiscard]] ExpectedRow expected_detail(const ModuleRow& row);

} // namespace slotwitness::chassis::checks
