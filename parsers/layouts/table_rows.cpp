#include "table_rows.hpp"

#include "lines.hpp"

#include <algorithm>
#include <optional>

namespace slotwitness::layouts {
namespace {

Stretch trimmed(const Glyphs& row, std::size_t begin, std::size_t end) {
    end = std::min(end, row.size());
    begin = std::min(begin, end);
    while (begin < end && row.is_blank(end - 1))
        --end;
    while (begin < end && row.is_blank(begin))
        ++begin;
    return {begin, end};
}

std::optional<std::size_t> first_ink(const Glyphs& row, std::size_t begin, std::size_t end) {
    const Stretch ink = trimmed(row, begin, end);
    return ink.begin < ink.end ? std::optional{ink.begin} : std::nullopt;
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
    std::vector<std::size_t> single;
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
        if (before <= gap)
            single.push_back(before);
    }
    if (single.empty())
        return tl::make_unexpected(no_gap_before(next, gap));
    if (single.size() > 1)
        return tl::make_unexpected(Misfit{
            single.front(), "two blanks before the right-aligned cell of " + in_quotes(next.label) +
                                ", for any of several blanks could part it"});
    return single.front() + 1;
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

} // namespace

tl::expected<Cuts, Misfit> cut_under_header(const Glyphs& row, const std::vector<Column>& columns) {
    Cuts cuts;
    cuts.reserve(columns.size());
    std::size_t begin = 0;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const Column& column = columns[i];
        std::size_t end = row.size();
        if (i + 1 < columns.size()) {
            const auto edge = edge_between(row, column, columns[i + 1]);
            if (!edge)
                return tl::make_unexpected(edge.error());
            end = *edge;
        }
        const Stretch cell = trimmed(row, begin, end);
        if (cell.begin < cell.end) {
            if (!column.right_aligned && cell.begin < column.begin)
                return tl::make_unexpected(
                    Misfit{cell.begin, "blanks up to the column " + in_quotes(column.label)});
            if (column.right_aligned && cell.end != column.end)
                return tl::make_unexpected(
                    Misfit{std::min(cell.end, column.end), "the end of the right-aligned cell of " +
                                                               in_quotes(column.label) +
                                                               " where its header ends"});
        }
        cuts.push_back(cell);
        begin = end;
    }
    return cuts;
}

tl::expected<Cuts, Misfit> cut_under_rule(const Glyphs& row, const std::vector<Column>& columns) {
    Cuts cuts;
    cuts.reserve(columns.size());
    std::size_t begin = 0;
    for (const Column& column : columns) {
        if (const auto ink = first_ink(row, begin, column.begin))
            return tl::make_unexpected(
                Misfit{*ink, "blanks up to the column " + in_quotes(column.label)});
        cuts.push_back(trimmed(row, column.begin, column.end));
        begin = column.end;
    }
    if (const auto ink = first_ink(row, begin, row.size()))
        return tl::make_unexpected(Misfit{*ink, "the end of the line with the dashes of " +
                                                    in_quotes(columns.back().label)});
    return cuts;
}

} // namespace slotwitness::layouts
