#pragma once

#include <slotwitness/abnf/matcher.hpp>

#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

/// What a match must come to, found in ways that share nothing with the matcher: slow, without a
/// program, and plain enough to be believed. For grammars without prose and texts of some octets.
namespace slotwitness::abnf::reference {

/// All places where `rule` may end if it begins at `begin`: complete, and without any order.
[[nodiscard]] std::set<std::size_t> ends(const Grammar& grammar, std::size_t rule,
                                         std::string_view text, std::size_t begin);

struct Ordered {
    bool matched = false;
    std::vector<Capture> captures;
    std::size_t furthest = 0;
};
/// The first reading of the whole text, each element handed the rest to go on with. Nothing, if it
/// would take more than some ten thousand calls.
[[nodiscard]] std::optional<Ordered> first_reading(const Grammar& grammar, std::size_t rule,
                                                   std::string_view text,
                                                   const std::vector<std::string>& captured);

} // namespace slotwitness::abnf::reference
