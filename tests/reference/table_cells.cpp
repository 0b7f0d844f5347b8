#include "table_cells.hpp"

#include <algorithm>
#include <regex>

namespace slotwitness::reference {
namespace {

Span ink(const Characters& row, std::size_t begin, std::size_t end) {
    std::size_t first = begin;
    std::size_t last = begin;
    bool any = false;
    for (std::size_t i = begin; i < std::min(end, row.all.size()); ++i)
        if (!row.blank(i)) {
            if (!any)
                first = i;
            any = true;
            last = i + 1;
        }
    return any ? Span{first, last} : Span{begin, begin};
}

/// A right-aligned cell whose left neighbour is not: it begins after the last two blanks, or
/// after the only blank that can part the two.
std::optional<std::size_t> begin_of_number(const Characters& row, const Column& left,
                                           const Column& right) {
    if (row.blank(right.end - 1))
        return right.begin;
    std::vector<std::size_t> after_wide;
    std::vector<std::size_t> after_single;
    for (std::size_t begin = left.begin + 1; begin < right.end; ++begin) {
        if (!row.blank(begin - 1))
            continue;
        if (begin < 2 || row.blank(begin - 2))
            after_wide.push_back(begin);
        else if (begin <= right.begin)
            after_single.push_back(begin);
    }
    if (!after_wide.empty()) {
        // The cell on the left ends before the header on the right.
        const Span before = ink(row, left.begin, after_wide.back() - 1);
        if (before.first != before.second && before.second > right.begin - 1)
            return std::nullopt;
        return after_wide.back();
    }
    if (after_single.size() != 1)
        return std::nullopt;
    return after_single.front();
}

} // namespace

Characters::Characters(const std::string& line) {
    // RFC 3629, section 4: the well-formed sequences.
    static const std::regex sequence{
        "[\xc2-\xdf][\x80-\xbf]|\xe0[\xa0-\xbf][\x80-\xbf]|[\xe1-\xec\xee\xef][\x80-\xbf]{2}|"
        "\xed[\x80-\x9f][\x80-\xbf]|\xf0[\x90-\xbf][\x80-\xbf]{2}|[\xf1-\xf3][\x80-\xbf]{3}|"
        "\xf4[\x80-\x8f][\x80-\xbf]{2}"};
    for (std::size_t at = 0; at < line.size();) {
        std::smatch found;
        std::size_t size = 1;
        if (static_cast<unsigned char>(line[at]) >= 0x80 &&
            std::regex_search(line.begin() + static_cast<std::ptrdiff_t>(at), line.end(), found,
                              sequence, std::regex_constants::match_continuous))
            size = static_cast<std::size_t>(found.length());
        all.push_back(line.substr(at, size));
        at += size;
    }
}

std::optional<std::vector<Span>> under_rule(const Characters& row,
                                            const std::vector<Column>& columns) {
    std::vector<Span> pieces;
    for (std::size_t place = 0; place < row.all.size(); ++place)
        if (!row.blank(place) &&
            std::none_of(columns.begin(), columns.end(), [&](const Column& column) {
                return column.begin <= place && place < column.end;
            }))
            return std::nullopt;
    for (const Column& column : columns)
        pieces.push_back(ink(row, column.begin, column.end));
    return pieces;
}

std::optional<std::vector<Span>> under_header(const Characters& row,
                                              const std::vector<Column>& columns) {
    std::vector<std::size_t> begins{0};
    for (std::size_t i = 1; i < columns.size(); ++i) {
        const Column& left = columns[i - 1];
        const Column& right = columns[i];
        std::optional<std::size_t> begin;
        if (!right.right)
            begin = right.begin;
        else if (left.right)
            begin = left.end + 1;
        else
            begin = begin_of_number(row, left, right);
        if (!begin || !row.blank(*begin - 1))
            return std::nullopt;
        begins.push_back(*begin);
    }
    begins.push_back(row.all.size());
    std::vector<Span> pieces;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const Span piece = ink(row, begins[i], begins[i + 1]);
        const bool fits =
            columns[i].right ? piece.second == columns[i].end : piece.first >= columns[i].begin;
        if (piece.first != piece.second && !fits)
            return std::nullopt;
        pieces.push_back(piece);
    }
    return pieces;
}

} // namespace slotwitness::reference
