#include "document.hpp"

#include "glyphs.hpp"

#include <algorithm>

namespace slotwitness::layouts {
namespace {

/// Lines as every layout gives them: without the CR before a LF.
std::string joined(std::string_view text) {
    std::string lines;
    lines.reserve(text.size());
    for (std::size_t at = 0; at < text.size(); ++at)
        if (text[at] != '\r' || at + 1 >= text.size() || text[at + 1] != '\n')
            lines.push_back(text[at]);
    if (lines.ends_with('\r'))
        lines.pop_back();
    return lines;
}

} // namespace

Document::Document(std::string_view text) : text_(text), line_starts_{0} {
    for (std::size_t at = text.find('\n'); at != std::string_view::npos;
         at = text.find('\n', at + 1))
        line_starts_.push_back(at + 1);
}

state::Position Document::position(std::size_t offset) const {
    const auto after = std::upper_bound(line_starts_.begin(), line_starts_.end(), offset);
    return {static_cast<std::size_t>(after - line_starts_.begin()), offset - *(after - 1) + 1};
}

std::string Document::lines(std::size_t begin, std::size_t end) const {
    const std::string_view all = between(begin, end);
    if (all.size() <= longest_line)
        return joined(all);
    return joined(all.substr(0, all.find('\n')).substr(0, longest_line));
}

void Document::refuse(Leftover& leftover, std::size_t begin, std::size_t end, std::size_t at,
                      const std::string& expected) const {
    do {
        std::size_t piece_end = end;
        if (end - begin > longest_line) {
            const std::size_t gap = between(begin, begin + longest_line).find_last_of(" ,\n>");
            piece_end = begin + (gap == std::string_view::npos ? longest_line : gap + 1);
        }
        const bool holds_it = at >= begin && (at < piece_end || piece_end == end);
        const state::Position place = position(holds_it ? at : begin);
        leftover.unread.push_back(
            {place.line, joined(between(begin, piece_end)), place.column, expected});
        begin = piece_end;
    } while (begin < end);
}

void Document::set_aside(Leftover& leftover, std::size_t begin, std::size_t end) const {
    const std::size_t last = position(end > begin ? end - 1 : begin).line;
    std::size_t line = position(begin).line;
    if (!leftover.set_aside.empty())
        line = std::max(line, leftover.set_aside.back() + 1);
    for (; line <= last; ++line)
        leftover.set_aside.push_back(line);
}

void sort_by_line(Leftover& leftover) {
    std::stable_sort(leftover.unread.begin(), leftover.unread.end(),
                     [](const state::UnreadLine& left, const state::UnreadLine& right) {
                         return left.line < right.line;
                     });
}

std::size_t valid_utf8(std::string_view text) {
    std::size_t at = 0;
    while (at < text.size()) {
        const std::size_t length = sequence_length(text.substr(at));
        if (length == 1 && static_cast<unsigned char>(text[at]) >= 0x80)
            return at;
        at += length;
    }
    return at;
}

bool has_control_byte(std::string_view text) {
    return std::any_of(text.begin(), text.end(), [](char byte) {
        return static_cast<unsigned char>(byte) < 0x20 || byte == 0x7f;
    });
}

} // namespace slotwitness::layouts
