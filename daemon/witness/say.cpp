#include "say.hpp"

#include <algorithm>

namespace slotwitness::witness {

std::string spoken(state::Kind kind) {
    if (kind == state::Kind::plane)
        return "fabric plane";
    std::string text(state::to_word(kind));
    std::replace(text.begin(), text.end(), '-', ' ');
    return text;
}

std::string spoken(const Component& component) {
    return spoken(component.kind) + " " + component.name;
}

std::string line_at(const state::Row& row, state::Position at) {
    std::string_view rest = row.text;
    for (std::size_t line = row.at.line; line < at.line; ++line) {
        const std::size_t end = rest.find('\n');
        if (end == std::string_view::npos)
            return row.text; // the row's lines do not lie together: show all of them
        rest.remove_prefix(end + 1);
    }
    return std::string(rest.substr(0, rest.find('\n')));
}

void add_cites(std::vector<Cite>& cites, std::span<const Cite> more) {
    for (const Cite& cite : more)
        if (cites.size() < most_cites && std::find(cites.begin(), cites.end(), cite) == cites.end())
            cites.push_back(cite);
}

} // namespace slotwitness::witness
