#include "table_rows.hpp"

#include "lines.hpp"

#include <slotwitness/state/blanks.hpp>

#include <tl/expected.hpp>

#include <algorithm>
#include <limits>

namespace slotwitness::layouts {
namespace {

/// A row of ASCII alone, of which each place is the byte at its own offset.
struct Bytes {
    std::string_view line;
    [[nodiscard]] std::size_t size() const { return line.size(); }
    /// Of a place before the end.
    [[nodiscard]] bool is_blank(std::size_t place) const { return line[place] == ' '; }
};

std::size_t end_of_ink(const Glyphs& row, std::size_t begin, std::size_t end) {
    while (begin < end && row.is_blank(end - 1))
        --end;
    return end;
}

std::size_t end_of_ink(const Bytes& row, std::size_t begin, std::size_t end) {
    return end - state::trailing_blanks({row.line.data() + begin, end - begin});
}

template <class Row>
Stretch trimmed(const Row& row, std::size_t begin, std::size_t end) {
    end = std::min(end, row.size());
    begin = std::min(begin, end);
    end = end_of_ink(row, begin, end);
    while (begin < end && row.is_blank(begin))
        ++begin;
    return {begin, end};
}

template <class Row>
std::optional<std::size_t> first_ink(const Row& row, std::size_t begin, std::size_t end) {
    end = std::min(end, row.size());
    for (std::size_t place = begin; place < end; ++place)
        if (!row.is_blank(place))
            return place;
    return std::nullopt;
}

Misfit no_gap_before(const Column& column, std::size_t place) {
    return {place, "a blank before the column " + in_quotes(column.label)};
}

/// Where the cell of `next`, which ends with its header, begins, if the cell before it begins with
/// its own header and may reach right up to a blank before `next`.
tl::expected<std::size_t, Misfit> edge_before_right_aligned(const Glyphs& row, const Column& left,
                                                            const Column& next) {
    const std::size_t gap = next.begin - 1; // the cell before ends here at the latest
    if (row.is_blank(next.end - 1))
        return row.is_blank(gap) ? tl::expected<std::size_t, Misfit>{next.begin}
                                 : tl::make_unexpected(no_gap_before(next, gap));
    std::optional<std::size_t> single; // the leftmost blank that can part the two
    std::size_t singles = 0;
    for (std::size_t place = next.end - 1; place > left.begin; --place) {
        const std::size_t before = place - 1;
        if (!row.is_blank(before))
            continue;
        const bool wide = before == 0 || row.is_blank(before - 1);
        if (wide) {
            const std::size_t text_end = trimmed(row, left.begin, before).end;
            if (text_end > gap)
                return tl::make_unexpected(no_gap_before(next, gap));
            return place;
        }
        if (before <= gap) {
            if (!single)
                single = before; // the first that is met is the rightmost
            ++singles;
        }
    }
    if (!single)
        return tl::make_unexpected(no_gap_before(next, gap));
    if (singles > 1)
        return tl::make_unexpected(
            Misfit{*single, "two blanks before the right-aligned cell of " + in_quotes(next.label) +
                                ", for any of several blanks could part it"});
    return *single + 1;
}

tl::expected<std::size_t, Misfit> edge_between(const Glyphs& row, const Column& left,
                                               const Column& next) {
    if (next.right_aligned && !left.right_aligned)
        return edge_before_right_aligned(row, left, next);
    const std::size_t gap = next.right_aligned ? left.end : next.begin - 1;
    if (!row.is_blank(gap))
        return tl::make_unexpected(no_gap_before(next, gap));
    return gap + 1;
}

/// The cells by the runs of the rule line, each written to its place in `cuts`.
template <class Row>
std::optional<Misfit> cut_by_runs(const Row& row, const std::vector<Column>& columns, Cuts& cuts) {
    Stretch* cut = cuts.data();
    std::size_t at = 0;
    for (const Column& column : columns) {
        const std::size_t end = std::min(column.end, row.size());
        while (at < end && row.is_blank(at))
            ++at;
        if (at < std::min(column.begin, end))
            return Misfit{at, "blanks up to the column " + in_quotes(column.label)};
        const std::size_t begin = at < end ? at : std::min(column.begin, end);
        *cut++ = {begin, end_of_ink(row, begin, end)};
        at = column.end;
    }
    if (const auto ink = first_ink(row, at, row.size()))
        return Misfit{*ink,
                      "the end of the line with the dashes of " + in_quotes(columns.back().label)};
    return std::nullopt;
}

} // namespace

std::optional<Misfit> cut_under_header(const Glyphs& row, const std::vector<Column>& columns,
                                       Cuts& cuts) {
    cuts.clear();
    std::size_t begin = 0;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const Column& column = columns[i];
        std::size_t end = row.size();
        if (i + 1 < columns.size()) {
            auto edge = edge_between(row, column, columns[i + 1]);
            if (!edge)
                return std::move(edge).error();
            end = *edge;
        }
        const Stretch cell = trimmed(row, begin, end);
        if (cell.begin < cell.end) {
            if (!column.right_aligned && cell.begin < column.begin)
                return Misfit{cell.begin, "blanks up to the column " + in_quotes(column.label)};
            if (column.right_aligned && cell.end != column.end)
                return Misfit{std::min(cell.end, column.end),
                              "the end of the right-aligned cell of " + in_quotes(column.label) +
                                  " where its header ends"};
        }
        cuts.push_back(cell);
        begin = end;
    }
    return std::nullopt;
}

std::optional<Misfit> cut_under_rule(const Glyphs& row, const std::vector<Column>& columns,
                                     Cuts& cuts) {
    cuts.resize(columns.size());
    return row.is_ascii() ? cut_by_runs(Bytes{row.line()}, columns, cuts)
                          : cut_by_runs(row, columns, cuts);
}

std::optional<Misfit> cut_in_box(const Glyphs& row, const std::vector<Column>& columns,
                                 Cuts& cuts) {
    cuts.clear();
    const auto is_bar = [&](std::size_t place) {
        return begins_with_bar(row.between(place, place + 1));
    };
    constexpr std::size_t open = std::numeric_limits<std::size_t>::max();
    for (const Column& column : columns) {
        const bool has_bar = column.begin > 0;
        if (has_bar && !is_bar(column.begin - 1))
            return Misfit{std::min(column.begin - 1, row.size()),
                          "the bar before the column " + in_quotes(column.label)};
        if (cuts.empty())
            if (const auto ink = has_bar ? first_ink(row, 0, column.begin - 1) : std::nullopt)
                return Misfit{*ink,
                              "blanks up to the bar before the column " + in_quotes(column.label)};
        cuts.push_back(trimmed(row, column.begin, column.end));
    }
    const Column& last = columns.back();
    if (last.end != open) {
        if (!is_bar(last.end))
            return Misfit{std::min(last.end, row.size()),
                          "the bar after the column " + in_quotes(last.label)};
        if (const auto ink = first_ink(row, last.end + 1, row.size()))
            return Misfit{*ink, "the end of the line after the last bar"};
    }
    return std::nullopt;
}

std::optional<Misfit> cut_at_blanks(const Glyphs& row, const std::vector<Column>& columns,
                                    std::size_t gap, Cuts& cuts) {
    cuts.clear();
    std::size_t at = 0;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        while (at < row.size() && row.is_blank(at))
            ++at;
        const bool last = i + 1 == columns.size();
        if (at == row.size() && !last)
            return Misfit{row.size(), "the column " + in_quotes(columns[i].label)};
        std::size_t end = at;
        std::size_t blanks = 0;
        for (std::size_t place = at; place < row.size() && (last || blanks < gap); ++place) {
            blanks = row.is_blank(place) ? blanks + 1 : 0;
            if (blanks == 0)
                end = place + 1;
        }
        cuts.push_back({at, end});
        at = end;
    }
    return std::nullopt;
}

} // namespace slotwitness::layouts
