#include "grammar.hpp"

#include <algorithm>

namespace slotwitness::abnf {

std::string lower_case(std::string_view text) {
    std::string lower{text};
    for (char& c : lower)
        if (c >= 'A' && c <= 'Z')
            c = static_cast<char>(c - 'A' + 'a');
    return lower;
}

std::optional<std::size_t> Grammar::find(std::string_view name) const {
    const std::string key = lower_case(name);
    const auto found = std::lower_bound(
        rules.begin(), rules.end(), key,
        [](const Rule& rule, const std::string& k) { return lower_case(rule.name) < k; });
    if (found == rules.end() || lower_case(found->name) != key)
        return std::nullopt;
    return static_cast<std::size_t>(found - rules.begin());
}

} // namespace slotwitness::abnf
