#pragma once

#include "procedure.hpp"

#include <slotwitness/keys/problems.hpp>

namespace slotwitness::procedures {

/// What only the whole of a procedure shows: each place has a parameter and each parameter a place,
/// each sentence parses whatever its parameters are, each step named is there and stands in order,
/// and no plane is waited for before the module that serves it.
void check(const Procedure& procedure, const toml::table& document, keys::Problems& problems);

} // namespace slotwitness::procedures
