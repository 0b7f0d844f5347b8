#include "cell_text.hpp"

#include <slotwitness/state/printable.hpp>

#include <algorithm>

namespace slotwitness::profiles {
namespace {

std::string_view without_blanks(std::string_view text) {
    text.remove_prefix(std::min(text.find_first_not_of(' '), text.size()));
    return text.substr(0, text.find_last_not_of(' ') + 1);
}

/// RFC 8348 numbers the states of an alarm by their gravity, but for under-repair.
bool graver(state::AlarmState one, state::AlarmState other) {
    const auto rank = [](state::AlarmState grade) {
        return grade == state::AlarmState::under_repair ? 100 : static_cast<int>(grade);
    };
    return rank(one) < rank(other);
}

} // namespace

std::string_view said_in(std::string_view cell, const Meaning& meaning) {
    if (!meaning.until.empty())
        cell = without_blanks(cell.substr(0, cell.find(meaning.until)));
    const bool stands_for_empty =
        std::find(meaning.empty.begin(), meaning.empty.end(), cell) != meaning.empty.end();
    return stands_for_empty ? std::string_view{} : cell;
}

state::Names names_in(std::string_view text) {
    state::Names names;
    while (true) {
        text.remove_prefix(std::min(text.find_first_not_of(" ,"), text.size()));
        if (text.empty())
            return names;
        const std::string_view name = text.substr(0, text.find_first_of(" ,"));
        names.emplace_back(name);
        text.remove_prefix(name.size());
    }
}

bool is_beyond_range(std::string_view number) {
    if (number.starts_with('-') || number.starts_with('+'))
        number.remove_prefix(1);
    constexpr std::string_view bound = "1000000000";
    return number.starts_with(bound) &&
           number.substr(bound.size()).find_first_of("0123456789.") != 0;
}

bool is_utf8(std::string_view text) {
    const auto tails = [](unsigned char first) {
        if (first < 0x80)
            return 0;
        if (first < 0xc2 || first > 0xf4)
            return -1;
        return first < 0xe0 ? 1 : first < 0xf0 ? 2 : 3;
    };
    for (std::size_t at = state::printable_ascii(text); at < text.size();) {
        const int count = tails(static_cast<unsigned char>(text[at++]));
        if (count < 0)
            return false;
        for (int i = 0; i < count; ++i, ++at)
            if (at >= text.size() || (static_cast<unsigned char>(text[at]) & 0xc0U) != 0x80U)
                return false;
    }
    return true;
}

std::string_view gravest_of(std::string_view text, const WordList& words) {
    std::string_view gravest = text;
    std::optional<state::AlarmState> known;
    for (std::string_view rest = text; !rest.empty();) {
        const std::string_view one = rest.substr(0, rest.find(' '));
        rest = without_blanks(rest.substr(one.size()));
        const auto word = words.find(one);
        if (word == words.end())
            return text;
        const auto* grade = std::get_if<state::AlarmState>(&word->second.front().value);
        if (grade == nullptr)
            return one; // unknown
        if (!known || graver(*grade, *known)) {
            known = *grade;
            gravest = one;
        }
    }
    return gravest;
}

} // namespace slotwitness::profiles
