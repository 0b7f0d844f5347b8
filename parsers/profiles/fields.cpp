#include "fields.hpp"

#include <algorithm>
#include <array>
#include <tuple>
#include <utility>

namespace slotwitness::profiles {
namespace {

/// Levenshtein's distance, row by row.
std::size_t distance(std::string_view left, std::string_view right) {
    std::vector<std::size_t> row(right.size() + 1);
    for (std::size_t i = 0; i < row.size(); ++i)
        row[i] = i;
    for (std::size_t i = 0; i < left.size(); ++i) {
        std::size_t diagonal = std::exchange(row[0], i + 1);
        for (std::size_t j = 0; j < right.size(); ++j) {
            const std::size_t change = diagonal + (left[i] == right[j] ? 0 : 1);
            diagonal = row[j + 1];
            row[j + 1] = std::min({change, diagonal + 1, row[j] + 1});
        }
    }
    return row.back();
}

constexpr std::size_t longest_shown = 80;

state::Position in_bytes(std::string_view text, const toml::source_position& at) {
    for (auto number = at.line; number > 1; --number) {
        const std::size_t end = text.find('\n');
        if (end == std::string_view::npos)
            return {at.line, at.column};
        text.remove_prefix(end + 1);
    }
    const std::string_view line = text.substr(0, text.find('\n'));
    std::size_t offset = 0;
    for (std::size_t column = at.column; column > 1 && offset < line.size(); --column) {
        ++offset;
        while (offset < line.size() && (static_cast<unsigned char>(line[offset]) & 0xc0U) == 0x80U)
            ++offset;
    }
    return {at.line, offset + 1};
}

} // namespace

Problems::Problems(std::span<const ProfileFile> files) : files_(files) {}

void Problems::add(const toml::source_region& at, std::string found, std::string expected,
                   std::string remedy) {
    if (found.size() > longest_shown)
        found.resize(longest_shown);
    const auto named = std::find_if(files_.begin(), files_.end(), [&](const ProfileFile& file) {
        return at.path && *at.path == file.name;
    });
    const ProfileFile& file = named == files_.end() ? files_.front() : *named;
    const state::Position place =
        at.begin.line == 0 ? state::Position{} : in_bytes(file.text, at.begin);
    found_.push_back({file.name, place, std::move(found), std::move(expected), std::move(remedy)});
}

std::vector<state::Problem> Problems::take() && {
    std::stable_sort(found_.begin(), found_.end(), [](const auto& a, const auto& b) {
        return std::tie(a.where, a.at) < std::tie(b.where, b.at);
    });
    return std::move(found_);
}

std::optional<std::string> nearest(std::string_view text, const std::vector<std::string>& known) {
    if (text.size() > longest_shown)
        return std::nullopt;
    std::optional<std::string> best;
    std::size_t best_distance = std::max<std::size_t>(2, text.size() / 3) + 1;
    for (const std::string& word : known) {
        const std::size_t apart = distance(text, word);
        if (apart < best_distance && apart < word.size()) {
            best = word;
            best_distance = apart;
        }
    }
    return best;
}

std::string one_of(const std::vector<std::string>& words) {
    std::string text;
    for (const std::string& word : words)
        text.append(text.empty() ? "" : ", ").append(word);
    return words.size() == 1 ? text : "one of " + text;
}

std::string did_you_mean(std::string_view text, const std::vector<std::string>& known,
                         std::string otherwise) {
    const auto near = nearest(text, known);
    return near ? "Did you mean \"" + *near + "\"?" : otherwise;
}

std::string shown(const toml::node& node) {
    if (const auto* text = node.as_string())
        return text->get();
    if (const auto* integer = node.as_integer())
        return std::to_string(integer->get());
    if (const auto* truth = node.as_boolean())
        return truth->get() ? "true" : "false";
    if (node.is_table())
        return "a table";
    if (node.is_array())
        return "a list";
    return node.is_floating_point() ? "a number with a fraction" : "a date or time";
}

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

} // namespace slotwitness::profiles
