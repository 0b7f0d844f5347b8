#include "places.hpp"

#include <algorithm>

namespace slotwitness::procedures {
namespace {

constexpr std::string_view first_letters = "abcdefghijklmnopqrstuvwxyz";
constexpr std::string_view letters = "abcdefghijklmnopqrstuvwxyz0123456789-";

} // namespace

std::vector<Place> places_in(std::string_view text) {
    std::vector<Place> places;
    for (std::size_t begin = text.find('<'); begin != std::string_view::npos;
         begin = text.find('<', begin + 1)) {
        const std::size_t end = text.find_first_not_of(letters, begin + 1);
        if (end == std::string_view::npos || text[end] != '>')
            continue;
        const std::string_view name = text.substr(begin + 1, end - begin - 1);
        if (!name.empty() && first_letters.find(name.front()) != std::string_view::npos)
            places.push_back({begin, end + 1, name});
    }
    return places;
}

std::size_t FilledText::column_before(std::size_t column) const {
    const std::size_t at = column == 0 ? 0 : column - 1;
    const auto next =
        std::find_if(parts.begin(), parts.end(), [&](const Part& part) { return part.begin > at; });
    if (next == parts.begin())
        return column;
    const Part& part = *std::prev(next);
    return part.before + 1 + (part.is_value ? 0 : at - part.begin);
}

FilledText fill(std::string_view text,
                const std::function<std::string(std::string_view name)>& value_of) {
    FilledText filled;
    std::size_t done = 0;
    const auto keep = [&](std::string_view part, std::size_t before, bool is_value) {
        if (part.empty())
            return;
        filled.parts.push_back({filled.text.size(), before, is_value});
        filled.text.append(part);
    };
    for (const Place& place : places_in(text)) {
        keep(text.substr(done, place.begin - done), done, false);
        keep(value_of(place.name), place.begin, true);
        done = place.end;
    }
    keep(text.substr(done), done, false);
    return filled;
}

} // namespace slotwitness::procedures
