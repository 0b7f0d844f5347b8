#pragma once

#include "grammar.hpp"
#include "program.hpp"

#include <span>
#include <string>
#include <vector>

namespace slotwitness::abnf {

[[nodiscard]] tl::expected<Program, std::vector<state::Problem>>
compile(const Grammar& grammar, std::span<const std::string> rules,
        std::span<const std::string> captured);

} // namespace slotwitness::abnf
