#pragma once

#include "grammar.hpp"

#include <map>
#include <string>

namespace slotwitness::abnf {

/// RFC 5234, appendix B.1, by their names in lower case.
[[nodiscard]] std::map<std::string, Rule> core_rules();

} // namespace slotwitness::abnf
