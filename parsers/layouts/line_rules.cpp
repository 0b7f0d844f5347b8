#include "line_rules.hpp"

#include <utility>

namespace slotwitness::layouts {

tl::expected<LineMatcher, std::vector<state::Problem>>
LineMatcher::compile(const LineRules& lines) {
    LineMatcher prepared;
    if (lines.rules.empty())
        return prepared;
    if (lines.grammar == nullptr)
        return tl::unexpected(std::vector<state::Problem>{
            {"", {}, lines.rules.front(), "a grammar that defines the rule", "write the grammar"}});
    auto matcher = abnf::Matcher::compile(*lines.grammar, lines.rules, {});
    if (!matcher)
        return tl::unexpected(std::move(matcher.error()));
    prepared.matcher_ = std::move(*matcher);
    return prepared;
}

} // namespace slotwitness::layouts
