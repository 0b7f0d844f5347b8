#pragma once

#include <slotwitness/abnf/matcher.hpp>

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// Whole lines described in ABNF: footers, log lines, whatever is one of some rules.
struct LineRules {
    std::shared_ptr<const abnf::Grammar> grammar;
    std::vector<std::string> rules;
};

/// Line rules, prepared once. Immutable; copies are cheap.
class LineMatcher {
  public:
    /// Without rules it takes no line.
    LineMatcher() = default;
    /// Refused: what `abnf::Matcher` refuses, or rules without a grammar.
    [[nodiscard]] static tl::expected<LineMatcher, std::vector<state::Problem>>
    compile(const LineRules& lines);

    /// The line, without its end, is one of the rules. False also where the matcher's budget does
    /// not suffice: a line that may be something is not taken for it.
    [[nodiscard]] bool takes(std::string_view line, abnf::Scratch& scratch) const {
        return matcher_ && matcher_->match(line, scratch).outcome == abnf::Outcome::matched;
    }

  private:
    std::optional<abnf::Matcher> matcher_;
};

} // namespace slotwitness::layouts
