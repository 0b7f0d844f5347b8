#include "fields.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace slotwitness::keys {

const toml::node* Fields::node(std::string_view key) {
    known_.emplace(key);
    return table_.get(key);
}

void Fields::wrong(std::string_view key, std::string found, std::string expected,
                   std::string remedy) {
    const toml::node* value = table_.get(key);
    problems_.add(value != nullptr ? *value : static_cast<const toml::node&>(table_),
                  std::move(found), std::move(expected), std::move(remedy));
}

void Fields::wrong_type(std::string_view key, const toml::node& value, std::string_view expected,
                        std::string_view example) {
    problems_.add(value, shown(value), std::string{expected},
                  "Write for example " + std::string{key} + " = " + std::string{example} + ".");
}

std::optional<std::string> Fields::text(std::string_view key) {
    const toml::node* value = node(key);
    if (value == nullptr)
        return std::nullopt;
    if (const auto* text = value->as_string())
        return text->get();
    wrong_type(key, *value, "a text in double quotes", "\"text\"");
    return std::nullopt;
}

std::string Fields::required_text(std::string_view key, std::string_view example) {
    require(key, std::string{key} + " = \"" + std::string{example} + "\"");
    std::optional<std::string> found = text(key);
    if (found && found->empty())
        wrong(key, "", "a text that is not empty",
              "Write for example " + std::string{key} + " = \"" + std::string{example} + "\".");
    return found.value_or("");
}

std::optional<bool> Fields::truth(std::string_view key) {
    const toml::node* value = node(key);
    if (value == nullptr)
        return std::nullopt;
    if (const auto* truth = value->as_boolean())
        return truth->get();
    wrong_type(key, *value, "true or false, without quotes", "true");
    return std::nullopt;
}

std::optional<std::int64_t> Fields::integer(std::string_view key, std::int64_t least,
                                            std::int64_t most) {
    const toml::node* value = node(key);
    if (value == nullptr)
        return std::nullopt;
    const auto* integer = value->as_integer();
    if (integer != nullptr && integer->get() >= least && integer->get() <= most)
        return integer->get();
    wrong_type(key, *value,
               "a whole number from " + std::to_string(least) + " to " + std::to_string(most),
               std::to_string(least));
    return std::nullopt;
}

std::optional<units::Duration> Fields::duration(std::string_view key, units::Duration least,
                                                units::Duration most) {
    const toml::node* value = node(key);
    if (value == nullptr)
        return std::nullopt;
    const auto* text = value->as_string();
    const auto duration = text != nullptr ? units::parse_duration(text->get()) : std::nullopt;
    if (duration && *duration >= least && *duration <= most)
        return duration;
    wrong_type(key, *value,
               "a duration from " + units::to_text(least) + " to " + units::to_text(most) +
                   " in ms, s, min, h",
               "\"15 s\"");
    return std::nullopt;
}

std::optional<std::size_t> Fields::size(std::string_view key, std::size_t least, std::size_t most) {
    struct Unit {
        std::string_view text;
        std::size_t bytes;
    };
    static constexpr auto units = std::to_array<Unit>({{"", 1},
                                                       {"B", 1},
                                                       {"KB", 1'000},
                                                       {"kB", 1'000},
                                                       {"MB", 1'000'000},
                                                       {"KiB", 1'024},
                                                       {"MiB", 1'048'576}});
    const toml::node* value = node(key);
    if (value == nullptr)
        return std::nullopt;
    const std::string text = shown(*value);
    const std::size_t digits = std::min(text.find_first_not_of("0123456789"), text.size());
    const std::size_t unit = std::min(text.find_first_not_of(' ', digits), text.size());
    std::size_t number = 0;
    bool fits = digits > 0 && digits < 12 && (value->is_integer() || value->is_string());
    for (std::size_t i = 0; fits && i < digits; ++i)
        number = number * 10 + static_cast<std::size_t>(text[i] - '0');
    const auto known = std::find_if(units.begin(), units.end(),
                                    [&](const Unit& u) { return u.text == text.substr(unit); });
    fits = fits && known != units.end() && number * known->bytes >= least &&
           number * known->bytes <= most;
    if (fits)
        return number * known->bytes;
    wrong_type(key, *value,
               "a size from " + std::to_string(least) + " to " + std::to_string(most) +
                   " bytes, with B, KB, MB, KiB or MiB",
               "\"1 MB\"");
    return std::nullopt;
}

std::vector<std::string> Fields::texts(std::string_view key) {
    const toml::node* value = node(key);
    std::vector<std::string> texts;
    if (value == nullptr)
        return texts;
    const auto* array = value->as_array();
    if (array == nullptr) {
        wrong_type(key, *value, "a list of texts", "[\"text\"]");
        return texts;
    }
    for (const toml::node& item : *array) {
        if (const auto* text = item.as_string())
            texts.push_back(text->get());
        else
            wrong_type(key, item, "a text in double quotes", "[\"text\"]");
    }
    return texts;
}

const toml::table* Fields::table(std::string_view key) {
    const toml::node* value = node(key);
    if (value == nullptr)
        return nullptr;
    if (value->is_table())
        return value->as_table();
    problems_.add(*value, shown(*value), "a table",
                  "Write it under a line of its own in brackets.");
    return nullptr;
}

std::vector<const toml::table*> Fields::tables(std::string_view key) {
    const toml::node* value = node(key);
    std::vector<const toml::table*> tables;
    if (value == nullptr)
        return tables;
    const toml::array* array = value->as_array();
    if (array == nullptr || !array->is_array_of_tables()) {
        problems_.add(*value, shown(*value), "tables headed [[" + std::string{key} + "]]",
                      "Write the heading with two brackets.");
        return tables;
    }
    for (const toml::node& element : *array)
        tables.push_back(element.as_table());
    return tables;
}

std::optional<std::size_t> Fields::word(std::string_view key,
                                        const std::vector<std::string>& words) {
    const auto found = text(key);
    if (!found)
        return std::nullopt;
    const auto at = std::find(words.begin(), words.end(), *found);
    if (at != words.end())
        return static_cast<std::size_t>(at - words.begin());
    wrong(key, *found, one_of(words), did_you_mean(*found, words, "Write one of these."));
    return std::nullopt;
}

void Fields::require(std::string_view key, std::string_view example) {
    known_.emplace(key);
    if (table_.contains(key))
        return;
    problems_.add(table_, "", "the key \"" + std::string{key} + "\" in " + path_,
                  "Add for example: " + std::string{example} + ".");
}

void Fields::finish() {
    const std::vector<std::string> known(known_.begin(), known_.end());
    for (const auto& [key, value] : table_)
        if (!known_.contains(key.str()))
            problems_.add(key.source(), std::string{key.str()}, "in " + path_ + " " + one_of(known),
                          did_you_mean(key.str(), known, "Leave it out."));
}

} // namespace slotwitness::keys
