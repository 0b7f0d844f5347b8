#include "shape.hpp"
#include "text.hpp"

#include <slotwitness/layouts/record_lines.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::draft {

namespace {

using layouts::Pair;
using Separator = layouts::RecordSpec::Separator;
using Lines = std::vector<std::string>;

bool has(const std::vector<std::string>& all, std::string_view one) {
    return std::find(all.begin(), all.end(), one) != all.end();
}

/// A pair that a person would call one: a short label of words, and where a colon parts them a
/// blank or nothing after it ("00:12:31" is no pair).
std::optional<Pair> pair_of(std::string_view text, Separator separator) {
    constexpr std::size_t longest_label = 48;
    const auto pair = layouts::parse_pair(text, separator);
    if (!pair || pair->label.empty() || pair->label.size() > longest_label ||
        pair->label.find("  ") != std::string_view::npos)
        return std::nullopt;
    const std::size_t after = text.find(':') + 1;
    if (separator == Separator::colon && after < text.size() && text[after] != ' ')
        return std::nullopt;
    return pair;
}

/// Walks the lines as the reader of records will, and collects the labels that it meets.
class Walker {
  public:
    Walker(const Lines& lines, layouts::RecordSpec spec) : lines_(lines), spec_(std::move(spec)) {}

    layouts::RecordSpec walk() && {
        for (std::size_t i = 0; i < lines_.size(); ++i)
            if (!is_blank(lines_[i]))
                see(i);
        return std::move(spec_);
    }

  private:
    struct Level {
        std::size_t indent = 0;
        std::string path;
    };

    void see(std::size_t at) {
        const std::string& line = lines_[at];
        if (is_heading(line)) {
            levels_.clear();
            list_.reset();
            return;
        }
        const std::size_t indent = indent_of(line);
        if (list_ && indent > *list_)
            return;
        list_.reset();
        while (!levels_.empty() && levels_.back().indent >= indent)
            levels_.pop_back();
        const auto parts = spec_.several ? layouts::cut_at_wide_blanks(line)
                                         : std::vector<std::string_view>{trimmed(line)};
        for (const std::string_view part : parts)
            if (const auto pair = pair_of(part, spec_.separator))
                see_pair(at, indent, *pair);
            else if (is_above(at, true) && levels_.size() < layouts::most_levels)
                levels_.push_back({indent, path_of(trimmed(line))});
    }

    /// What stands below the line that begins a block is no part of a hierarchy.
    [[nodiscard]] bool is_heading(std::string_view line) const {
        return !spec_.heading.empty() && line.starts_with(spec_.heading + " ");
    }

    void see_pair(std::size_t at, std::size_t indent, const Pair& pair) {
        std::string path = path_of(pair.label);
        if (pair.value.empty() && is_above(at, true) && levels_.size() < layouts::most_levels) {
            levels_.push_back({indent, std::move(path)});
            return;
        }
        if (is_above(at, false)) {
            list_ = indent;
            if (!has(spec_.lists, path))
                spec_.lists.push_back(path);
        }
        if (!has(spec_.labels, path) && path != spec_.heading)
            spec_.labels.push_back(std::move(path));
    }

    /// The next line is indented below this one, and is a pair or is none.
    [[nodiscard]] bool is_above(std::size_t at, bool pair) const {
        for (std::size_t next = at + 1; next < lines_.size(); ++next)
            if (!is_blank(lines_[next]))
                return indent_of(lines_[next]) > indent_of(lines_[at]) &&
                       pair_of(trimmed(lines_[next]), spec_.separator).has_value() == pair;
        return false;
    }

    [[nodiscard]] std::string path_of(std::string_view label) const {
        return (levels_.empty() ? "" : levels_.back().path + std::string(layouts::below)) +
               std::string(label);
    }

    const Lines& lines_;
    layouts::RecordSpec spec_;
    std::vector<Level> levels_;
    std::optional<std::size_t> list_;
};

/// The words that all lines without a pair at the outermost indent begin with, if one of them
/// begins the text: "Tray" of "Tray TRAY1" and "Tray TRAY2".
std::string heading_of(const Lines& lines, Separator separator) {
    std::vector<std::string_view> common;
    bool is_first = true;
    std::size_t outermost = 0;
    for (const std::string& line : lines) {
        if (is_blank(line))
            continue;
        if (is_first)
            outermost = indent_of(line);
        // "Settings for port7:" may be a heading, "Condition: up" is none.
        const auto pair = pair_of(trimmed(line), separator);
        const bool is_other = (pair && !pair->value.empty()) || indent_of(line) > outermost;
        if (is_other && is_first)
            return {};
        if (is_other)
            continue;
        auto words = cut_at_blanks(line, 1);
        // What follows the heading is the name.
        words.pop_back();
        if (is_first && !pair)
            words.resize(std::min<std::size_t>(words.size(), 1));
        if (is_first)
            common = words;
        const auto differ =
            std::mismatch(common.begin(), common.end(), words.begin(), words.end()).first;
        common.erase(differ, common.end());
        is_first = false;
    }
    std::string heading;
    for (const std::string_view word : common)
        heading.append(heading.empty() ? "" : " ").append(word);
    return heading;
}

/// How many lines are pairs, of all that are not blank.
bool are_mostly_pairs(const Lines& lines, Separator separator) {
    std::size_t pairs = 0;
    std::size_t all = 0;
    for (const std::string& line : lines) {
        all += is_blank(line) ? 0 : 1;
        pairs += pair_of(trimmed(line), separator) ? 1 : 0;
    }
    return pairs > 0 && pairs * 2 >= all;
}

bool have_several(const Lines& lines, Separator separator) {
    return std::any_of(lines.begin(), lines.end(), [&](const std::string& line) {
        const auto parts = layouts::cut_at_wide_blanks(line);
        return parts.size() > 1 && std::all_of(parts.begin(), parts.end(), [&](auto part) {
                   return pair_of(part, separator).has_value();
               });
    });
}

} // namespace

std::vector<Layout> record_shapes(const Lines& lines) {
    std::vector<Layout> layouts;
    for (const Separator separator : {Separator::dots, Separator::colon, Separator::equals}) {
        if (!are_mostly_pairs(lines, separator))
            continue;
        layouts::RecordSpec spec;
        spec.separator = separator;
        spec.heading = heading_of(lines, separator);
        for (const bool several : {true, false}) {
            spec.several = several;
            if (several && !have_several(lines, separator))
                continue;
            layouts::RecordSpec found = Walker{lines, spec}.walk();
            if (!found.labels.empty())
                layouts.emplace_back(std::move(found));
        }
    }
    return layouts;
}

} // namespace slotwitness::draft
