#pragma once

#include "procedure.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::procedures {

/// Longest argument, in bytes: what is given stands in a line that people read.
inline constexpr std::size_t longest_argument = 200;

/// What was given for one parameter, read as the parameter asks.
struct Given {
    std::string in_text;                  ///< `0.9 N·m (handbook 4-2)`; `3, 4`; the words
    std::string in_sentence;              ///< `0.9 N·m`; `3, "FAB 4"`; empty of words
    std::vector<std::string> names;       ///< of a component: one, or more where several are meant
    std::optional<units::Duration> limit; ///< of a time limit
};

/// `text` may have blanks around it. The problem's `where` is "parameter NAME".
[[nodiscard]] tl::expected<Given, state::Problem>
read_argument(const std::string& name, const Parameter& parameter, std::string_view text);

/// An argument that should be there and is not.
[[nodiscard]] state::Problem missing_argument(const std::string& name, const Parameter& parameter);

} // namespace slotwitness::procedures
