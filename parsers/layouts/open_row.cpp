#include "open_row.hpp"

#include <algorithm>

namespace slotwitness::layouts {

void OpenRow::begin(const Line& line, const Glyphs& glyphs, const Cuts& cuts,
                    const std::vector<Column>& columns, const Cell* group) {
    lines_.assign(1, line);
    cells_.resize(cuts.size());
    std::size_t inked = 0; // the column of the first text, from 1
    const bool is_ascii = glyphs.is_ascii();
    const auto byte_of = [&](std::size_t place) {
        return is_ascii ? place : glyphs.byte_of(place);
    };
    Cell* cells = cells_.data();
    for (std::size_t i = 0; i < cuts.size(); ++i) {
        const std::size_t first = byte_of(cuts[i].begin);
        const std::size_t size = byte_of(cuts[i].end) - first;
        if (inked == 0 && size != 0)
            inked = first + 1;
        Cell& cell = cells[i];
        cell.label = columns[i].label;
        cell.text = {line.text.data() + first, size};
        cell.at = {line.number, first + 1};
    }
    at_ = {line.number, inked};
    if (group != nullptr)
        cells_.push_back(*group);
}

void OpenRow::go_on(const Line& line, const Glyphs& glyphs, const Cuts& cuts) {
    joined_.resize(std::max(joined_.size(), cells_.size()));
    lines_.push_back(line);
    for (std::size_t i = 0; i < cuts.size(); ++i) {
        const std::string_view more = glyphs.between(cuts[i].begin, cuts[i].end);
        if (more.empty())
            continue;
        Cell& cell = cells_[i];
        if (cell.text.empty()) {
            cell.at = {line.number, glyphs.byte_of(cuts[i].begin) + 1};
            cell.text = more;
            continue;
        }
        std::string& joined = joined_[i];
        if (cell.text.data() != joined.data())
            joined = cell.text;
        cell.text = joined.append(" ").append(more);
    }
}

void OpenRow::close(const TakeBlock& take) {
    if (lines_.empty())
        return;
    std::string_view text = lines_.front().text;
    if (lines_.size() > 1) {
        text_ = lines_.front().text;
        for (std::size_t i = 1; i < lines_.size(); ++i)
            text_.append("\n").append(lines_[i].text);
        text = text_;
    }
    take({at_, text, cells_, true, std::nullopt});
    lines_.clear();
}

void OpenRow::give_up(std::vector<state::UnreadLine>& unread_lines) {
    for (const Line& line : lines_)
        unread_lines.push_back(unread(line, line.text.size() + 1,
                                      "the lines that continue this row to be read as well"));
    lines_.clear();
}

} // namespace slotwitness::layouts
