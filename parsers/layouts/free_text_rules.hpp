#pragma once

#include "free_text.hpp"

#include <slotwitness/abnf/matcher.hpp>

#include <cstddef>

namespace slotwitness::layouts {

/// What a line of a rule is.
enum class LineMeaning { row, continuation, section, pass_over, empty };

/// A rule of the specification.
struct LineRule {
    std::string name;
    LineMeaning meaning;
};

/// What a line may be, by the line right above it.
struct LineChoice {
    std::vector<std::size_t> rules; ///< of the specification, in the order of the matcher's
    abnf::Matcher matcher;
};

struct Lines::Prepared {
    LinesSpec spec;
    std::vector<LineRule> rules;
    std::vector<LineChoice> choices; ///< first: below a line that no rule waits for
    std::vector<std::size_t> below;  ///< each rule's choice for the line below
};

} // namespace slotwitness::layouts
