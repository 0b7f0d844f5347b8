#include "refusals.hpp"

#include "schema.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::profiles {

namespace {

constexpr std::size_t shortest_refusal = 4; ///< letters: less stands in too many lines

char small(char letter) {
    return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
}

bool is_told_in(std::string_view words, std::string_view text) {
    return std::search(text.begin(), text.end(), words.begin(), words.end(),
                       [](char a, char b) { return small(a) == small(b); }) != text.end();
}

} // namespace

std::optional<Refusals::Told> Refusals::told_in(std::string_view text) const {
    for (const auto& [refusal, list] :
         {std::pair{Refusal::locked, &locked}, std::pair{Refusal::command, &command},
          std::pair{Refusal::line, &line}, std::pair{Refusal::aaa, &aaa}})
        for (const std::string& words : *list)
            if (is_told_in(words, text))
                return Told{refusal, words};
    return std::nullopt;
}

Refusals read_refusals(const toml::table& table, Problems& problems) {
    Fields fields{table, "[refusals]", problems};
    const auto list = [&](std::string_view key) {
        std::vector<std::string> texts = fields.texts(key);
        for (const std::string& words : texts)
            if (words.size() < shortest_refusal ||
                words.find_first_of("\r\n") != std::string::npos || words.front() == ' ' ||
                words.back() == ' ')
                fields.wrong(key, words,
                             "at least " + std::to_string(shortest_refusal) +
                                 " characters of one line, without blanks around them",
                             "Write what the device says and nothing else does.");
        return texts;
    };
    Refusals refusals{list("command"), list("aaa"), list("line"), list("locked")};
    fields.finish();
    return refusals;
}

} // namespace slotwitness::profiles
