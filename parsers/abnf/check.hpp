#pragma once

#include "grammar.hpp"

#include <vector>

namespace slotwitness::abnf {

/// Gives each reference its rule, and notes rules that are not defined or can begin with
/// themselves.
void check(Grammar& grammar, std::vector<state::Problem>& problems);

} // namespace slotwitness::abnf
