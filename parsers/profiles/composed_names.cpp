#include "composed_names.hpp"

#include <algorithm>
#include <cctype>
#include <numeric>
#include <string_view>

namespace slotwitness::profiles {
namespace {

/// More bytes than these are not looked through: then each of the rows may be named. Some tenths of
/// a second.
constexpr std::size_t most_name_bytes = std::size_t{1} << 28U;

std::string lower(std::string text) {
    std::transform(text.begin(), text.end(), text.begin(), [](char byte) {
        return static_cast<char>(std::tolower(static_cast<unsigned char>(byte)));
    });
    return text;
}

bool is_of_word(std::string_view text, std::size_t at) {
    return at < text.size() && std::isalnum(static_cast<unsigned char>(text[at])) != 0;
}

/// Both in lower case.
bool has_word(std::string_view text, std::string_view word) {
    for (auto at = text.find(word); at != std::string_view::npos; at = text.find(word, at + 1))
        if ((at == 0 || !is_of_word(text, at - 1)) && !is_of_word(text, at + word.size()))
            return true;
    return false;
}

} // namespace

void tell_composed_names(std::span<const ComposedName> names, state::Reading& reading) {
    if (names.empty() || reading.unread.empty())
        return;
    std::vector<std::string> lines;
    for (const state::UnreadLine& line : reading.unread)
        lines.push_back(lower(line.text + '\n' + line.also));
    const std::size_t bytes =
        std::accumulate(lines.begin(), lines.end(), std::size_t{0},
                        [](std::size_t sum, const auto& line) { return sum + line.size(); });
    const bool are_too_many = bytes > most_name_bytes / names.size();
    for (const ComposedName& name : names) {
        std::vector<std::string> parts;
        std::transform(name.parts.begin(), name.parts.end(), std::back_inserter(parts), lower);
        const auto may_name = [&](const std::string& line) {
            return are_too_many ||
                   std::all_of(parts.begin(), parts.end(),
                               [&](const std::string& part) { return has_word(line, part); });
        };
        const auto found = std::find_if(lines.begin(), lines.end(), may_name);
        if (found != lines.end())
            reading.unread[static_cast<std::size_t>(found - lines.begin())]
                .also.append("\n")
                .append(reading.rows[name.row].name);
    }
}

} // namespace slotwitness::profiles
