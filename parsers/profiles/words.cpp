#include "attributes.hpp"
#include "schema.hpp"

#include <algorithm>

namespace slotwitness::profiles {
namespace {

std::vector<std::string> word_attributes() {
    std::vector<std::string> names;
    for (const state::Attribute attribute : state::words_of<state::Attribute>())
        if (type_of(attribute) == ValueType::word)
            names.emplace_back(to_word(attribute));
    return names;
}

std::string_view trimmed(std::string_view text) {
    text.remove_prefix(std::min(text.find_first_not_of(' '), text.size()));
    return text.substr(0, text.find_last_not_of(' ') + 1);
}

/// "admin locked, oper disabled"
std::vector<Meant> read_meaning(const toml::node& node, Problems& problems) {
    std::vector<Meant> meanings;
    const auto* text = node.as_string();
    if (text == nullptr) {
        problems.add(node, shown(node), "what the word means, as a text",
                     "Write for example \"oper enabled\".");
        return meanings;
    }
    std::string_view rest = text->get();
    while (true) {
        const std::size_t comma = std::min(rest.find(','), rest.size());
        const std::string_view part = trimmed(rest.substr(0, comma));
        const std::size_t blank = std::min(part.find(' '), part.size());
        const std::string_view name = part.substr(0, blank);
        const std::string word{trimmed(part.substr(blank))};
        const auto attribute = state::from_word<state::Attribute>(name);
        if (!attribute || type_of(*attribute) != ValueType::word) {
            problems.add(
                node, std::string{part.empty() ? part : name}, one_of(word_attributes()),
                did_you_mean(name, word_attributes(), "Write for example \"oper enabled\"."));
        } else if (const auto value = value_of(*attribute, word); !value) {
            const auto allowed = words_for(*attribute);
            const std::vector<std::string> known(allowed.begin(), allowed.end());
            problems.add(node, word, "after \"" + std::string{name} + "\" " + one_of(known),
                         did_you_mean(word, known, "Write one of these words of RFC 8348."));
        } else if (std::any_of(meanings.begin(), meanings.end(),
                               [&](const Meant& meant) { return meant.attribute == *attribute; })) {
            problems.add(node, std::string{part}, "each attribute once",
                         "Leave one of the two out.");
        } else {
            meanings.push_back({*attribute, *value});
        }
        if (comma == rest.size())
            return meanings;
        rest.remove_prefix(comma + 1);
    }
}

} // namespace

WordList read_words(const toml::table& table, const std::string& path, Problems& problems) {
    WordList words;
    if (table.empty())
        problems.add(table, "", "at least one word in " + path,
                     "Add for example: running = \"oper enabled\".");
    for (const auto& [key, value] : table) {
        const std::string word{key.str()};
        if (word.empty() || trimmed(word) != word)
            problems.add(key.source(), word,
                         "a word as the device prints it, without blanks around it",
                         "Take the blanks away.");
        words[word] = read_meaning(value, problems);
    }
    return words;
}

} // namespace slotwitness::profiles
