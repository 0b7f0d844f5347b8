#pragma once

#include "section.hpp"

#include <iosfwd>
#include <utility>
#include <vector>

namespace slotwitness::bench {

using Report = std::vector<std::pair<std::string, Findings>>; ///< by section

/// One aligned table, then the notes.
void print_table(const Report& report, std::ostream& out);
/// `{"entries":[{"section", "what", "unit", "ours":{"median","least","most"}, "peer", "theirs",
/// "ratio", "at_least", "at_most", "floor", "holds"}], "notes":[…]}`; absent members are null.
void print_json(const Report& report, std::ostream& out);

} // namespace slotwitness::bench
