#include "problems.hpp"

#include "open_bracket.hpp"

#include <algorithm>
#include <array>
#include <tuple>
#include <utility>

namespace slotwitness::keys {
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

Problems::Problems(std::span<const File> files) : files_(files) {}

void Problems::add(const toml::source_region& at, std::string found, std::string expected,
                   std::string remedy) {
    if (found.size() > longest_shown)
        found.resize(longest_shown);
    const auto named = std::find_if(files_.begin(), files_.end(), [&](const File& file) {
        return at.path && *at.path == file.name;
    });
    const File& file = named == files_.end() ? files_.front() : *named;
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

bool is_id(std::string_view text) {
    return !text.empty() && text.size() <= 64 && text.front() >= 'a' && text.front() <= 'z' &&
           text.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-") ==
               std::string_view::npos;
}

bool check_id(const toml::key& key, std::string_view what, Problems& problems) {
    if (is_id(key.str()))
        return true;
    problems.add(key.source(), std::string{key.str()},
                 "in " + std::string{what} + " a name of lower-case letters, digits and -",
                 "Rename it, for example \"module-detail\".");
    return false;
}

std::optional<toml::table> parse(const File& file, Problems& problems) {
    try {
        return toml::parse(std::string_view{file.text}, file.name);
    } catch (const toml::parse_error& error) {
        const toml::source_position stop = error.source().begin;
        const auto bracket = open_bracket(file.text, {stop.line, stop.column});
        if (bracket && bracket->line < stop.line) {
            toml::source_region at = error.source();
            at.begin = {static_cast<toml::source_index>(bracket->line),
                        static_cast<toml::source_index>(bracket->column)};
            problems.add(at, "a bracket that is open up to line " + std::to_string(stop.line),
                         "TOML: the bracket that closes it", "Close it where its list ends.");
            return std::nullopt;
        }
        problems.add(error.source(), "", "TOML: " + std::string{error.description()},
                     "Correct the line; toml.io describes the notation.");
        return std::nullopt;
    }
}

} // namespace slotwitness::keys
