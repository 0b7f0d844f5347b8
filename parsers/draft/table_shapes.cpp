#include "shape.hpp"
#include "table_columns.hpp"
#include "text.hpp"

#include <slotwitness/layouts/table_lines.hpp>

#include <algorithm>
#include <iterator>

namespace slotwitness::draft {

namespace {

using layouts::Glyphs;
using layouts::Stretch;
using layouts::TableSpec;
using Edges = TableSpec::Edges;
using Lines = std::vector<std::string>;

/// How far down a header is looked for: titles stand above it.
constexpr std::size_t deepest_header = 12;

/// The rows that follow a line, up to a blank one.
Lines rows_below(const Lines& lines, std::size_t line) {
    Lines rows(lines.begin() + static_cast<std::ptrdiff_t>(line) + 1, lines.end());
    rows.erase(std::find_if(rows.begin(), rows.end(),
                            [](const std::string& row) { return is_blank(row); }),
               rows.end());
    return rows;
}

void find_alignment(TableSpec& spec, const std::vector<Extent>& columns, const Sheet& rows,
                    Alignment either) {
    spec.right_aligned.clear();
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const Alignment found = rows.alignment_under(columns[i]);
        if ((found == Alignment::either ? either : found) == Alignment::right)
            spec.right_aligned.push_back(spec.columns[i]);
    }
}

/// The header's texts above the dashes; nothing if one reaches past them.
std::optional<std::vector<std::string>> cut(const std::string& line,
                                            const std::vector<Stretch>& runs) {
    const Glyphs glyphs(line);
    const auto ink = [&](std::size_t begin, std::size_t end) {
        std::size_t count = 0;
        for (std::size_t place = begin; place < end; ++place)
            count += glyphs.is_blank(place) ? 0 : 1;
        return count;
    };
    std::vector<std::string> texts;
    std::size_t within = 0;
    for (const Stretch& run : runs) {
        texts.emplace_back(trimmed(glyphs.between(run.begin, run.end)));
        within += ink(run.begin, run.end);
    }
    return within == ink(0, glyphs.size()) ? std::optional(std::move(texts)) : std::nullopt;
}

bool is_whole(const std::vector<std::vector<std::string>>& header) {
    for (std::size_t i = 0; i < header.front().size(); ++i)
        if (std::all_of(header.begin(), header.end(),
                        [&](const auto& line) { return line[i].empty(); }))
            return false;
    return true;
}

std::optional<Layout> ruled(const Lines& lines, std::size_t rule) {
    constexpr std::size_t most_lines = 4;
    const auto runs = layouts::parse_rule(lines[rule]);
    if (!runs || runs->size() > layouts::most_columns || rule == 0)
        return std::nullopt;
    std::vector<std::vector<std::string>> header;
    for (std::size_t up = 1; up <= std::min(rule, most_lines); ++up) {
        const std::string& line = lines[rule - up];
        const auto texts = is_blank(line) ? std::nullopt : cut(line, *runs);
        if (!texts)
            break;
        header.insert(header.begin(), *texts);
        if (is_whole(header))
            break;
    }
    if (header.empty() || !is_whole(header))
        return std::nullopt;
    TableSpec spec = table_of(Edges::rule, header);
    const Lines below_it = rows_below(lines, rule);
    const Sheet rows(below_it);
    spec.wraps = runs->size() > 1 && rows.has_blank_up_to((*runs)[1].begin);
    std::vector<Extent> columns;
    for (const Stretch& run : *runs)
        columns.push_back({run.begin, run.end, ""});
    find_alignment(spec, columns, rows, Alignment::left);
    return spec;
}

std::optional<Layout> boxed(const Lines& lines, std::size_t border) {
    const auto junctions = layouts::parse_border(lines[border]);
    if (!junctions || junctions->empty())
        return std::nullopt;
    // The header stands above the border that gives the widths, or between two borders.
    for (const std::size_t at : {border + 1, border - 1}) {
        if (at >= lines.size() || layouts::parse_border(lines[at]) || is_blank(lines[at]))
            continue;
        std::vector<std::string> texts{""};
        const std::string_view line = lines[at];
        for (std::size_t i = 0; i < line.size();) {
            const std::size_t length = layouts::sequence_length(line.substr(i));
            if (layouts::begins_with_bar(line.substr(i)))
                texts.emplace_back();
            else
                texts.back().append(line.substr(i, length));
            i += length;
        }
        for (std::string& text : texts)
            text = std::string(trimmed(text));
        if (!texts.empty() && texts.front().empty())
            texts.erase(texts.begin());
        if (!texts.empty() && texts.back().empty())
            texts.pop_back();
        if (texts.empty() || texts.size() > layouts::most_columns ||
            std::any_of(texts.begin(), texts.end(), [](const auto& text) { return text.empty(); }))
            continue;
        return table_of(Edges::box, {texts});
    }
    return std::nullopt;
}

/// Letters and the few signs of a heading; a value mostly has a digit.
bool may_be_header(std::string_view line) {
    const auto is_upper = [](char byte) { return byte >= 'A' && byte <= 'Z'; };
    const auto is_letter = [&](char byte) {
        return is_upper(byte) || (byte >= 'a' && byte <= 'z');
    };
    const auto words = cut_at_blanks(line, 1);
    const auto may_stand = [&](char byte) {
        return is_letter(byte) ||
               std::string_view(" -_/()%.#:+").find(byte) != std::string_view::npos;
    };
    return words.size() > 1 && std::all_of(line.begin(), line.end(), may_stand) &&
           std::any_of(words.begin(), words.end(),
                       [&](std::string_view word) { return is_upper(word.front()); }) &&
           std::count_if(line.begin(), line.end(), is_upper) * 2 >=
               static_cast<std::ptrdiff_t>(words.size());
}

std::vector<Layout> headed(const Lines& lines, std::size_t at) {
    if (!may_be_header(lines[at]))
        return {};
    const Lines below_it = rows_below(lines, at);
    const Sheet rows(below_it);
    const std::vector<Extent> labels = labels_in(lines[at], rows);
    if (rows.size() == 0 || labels.size() < 2 || labels.size() > layouts::most_columns)
        return {};
    std::vector<std::string> texts;
    for (const Extent& label : labels)
        texts.push_back(label.text);
    TableSpec spec = table_of(Edges::header, {texts});
    std::vector<Layout> layouts;
    for (const Alignment either : {Alignment::left, Alignment::right}) {
        find_alignment(spec, labels, rows, either);
        spec.rows_after_blank = false;
        const bool first_is_left =
            spec.right_aligned.empty() || spec.right_aligned.front() != spec.columns.front();
        spec.wraps = first_is_left && rows.has_blank_up_to(labels[1].begin);
        if (spec.wraps)
            layouts.emplace_back(spec);
        spec.wraps = false;
        layouts.emplace_back(spec);
        spec.rows_after_blank = true;
        layouts.emplace_back(spec);
    }
    return layouts;
}

template <class Found>
void add(std::vector<Layout>& layouts, Found found) {
    if (found)
        layouts.push_back(std::move(*found));
}

bool is_one_word(std::string_view line) {
    return cut_at_blanks(line, 1).size() == 1;
}

} // namespace

std::vector<Layout> table_shapes(const Lines& lines) {
    std::vector<Layout> layouts;
    const std::size_t end = std::min(lines.size(), deepest_header);
    for (std::size_t i = 0; i < end; ++i)
        add(layouts, boxed(lines, i));
    for (std::size_t i = 0; i < end; ++i)
        add(layouts, ruled(lines, i));
    std::vector<Layout> records = record_shapes(lines);
    std::move(records.begin(), records.end(), std::back_inserter(layouts));
    for (std::size_t i = 0; i < end; ++i) {
        std::vector<Layout> tables = headed(lines, i);
        std::move(tables.begin(), tables.end(), std::back_inserter(layouts));
    }
    return layouts;
}

Layout bare_table(const Lines& lines) {
    constexpr std::size_t most = 8;
    const auto fewest_of = [&](std::size_t gap, bool& same) {
        std::size_t fewest = most;
        std::size_t many = 0;
        for (const std::string& line : lines)
            if (!is_blank(line)) {
                const std::size_t count = cut_at_blanks(line, gap).size();
                fewest = std::min(fewest, count);
                many = std::max(many, count);
            }
        same = fewest == many;
        return fewest;
    };
    bool same = false;
    const std::size_t wide = fewest_of(2, same);
    TableSpec spec;
    spec.edges = Edges::blanks;
    spec.gap = same && wide > 1 &&
                       std::any_of(lines.begin(), lines.end(),
                                   [](const auto& line) {
                                       const auto parts = cut_at_blanks(line, 2);
                                       return std::any_of(parts.begin(), parts.end(),
                                                          [](std::string_view part) {
                                                              return !is_one_word(part);
                                                          });
                                   })
                   ? 2
                   : 1;
    const std::size_t count = spec.gap == 2 ? wide : fewest_of(1, same);
    for (std::size_t i = 1; i <= std::max<std::size_t>(count, 1); ++i)
        spec.columns.push_back("COLUMN " + std::to_string(i));
    return spec;
}

} // namespace slotwitness::draft
