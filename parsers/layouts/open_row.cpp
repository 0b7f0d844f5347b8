#include "open_row.hpp"

#include <algorithm>

namespace slotwitness::layouts {

void OpenRow::begin(const Line& line, const Cuts& cuts, const std::vector<Column>& columns,
                    const Cell* group) {
    fill(line, cuts, columns, group);
    open_ = true;
    first_ = line;
}

void OpenRow::pass(const Line& line, const Cuts& cuts, const std::vector<Column>& columns,
                   const Cell* group, const TakeBlock& take) {
    fill(line, cuts, columns, group);
    take({at_, line.text, cells_, true, std::nullopt});
}

void OpenRow::fill(const Line& line, const Cuts& cuts, const std::vector<Column>& columns,
                   const Cell* group) {
    cells_.resize(cuts.size());
    const auto cell_of = [number = line.number, text = line.text.data()](const Stretch& cut,
                                                                         const Column& column) {
        return Cell{column.label, {text + cut.begin, cut.end - cut.begin}, {number, cut.begin + 1}};
    };
    std::transform(cuts.begin(), cuts.end(), columns.begin(), cells_.begin(), cell_of);
    const auto inked = std::find_if(cells_.begin(), cells_.end(),
                                    [](const Cell& one) { return !one.text.empty(); });
    at_ = {line.number, inked != cells_.end() ? inked->at.column : 0};
    if (group != nullptr)
        cells_.push_back(*group);
}

void OpenRow::go_on(const Line& line, const Cuts& cuts) {
    joined_.resize(std::max(joined_.size(), cells_.size()));
    more_.push_back(line);
    for (std::size_t i = 0; i < cuts.size(); ++i) {
        const std::string_view more = line.text.substr(cuts[i].begin, cuts[i].end - cuts[i].begin);
        if (more.empty())
            continue;
        Cell& cell = cells_[i];
        if (cell.text.empty()) {
            cell.at = {line.number, cuts[i].begin + 1};
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
    if (!open_)
        return;
    open_ = false;
    std::string_view text = first_.text;
    if (!more_.empty()) {
        text_ = first_.text;
        for (const Line& line : more_)
            text_.append("\n").append(line.text);
        text = text_;
        more_.clear();
    }
    take({at_, text, cells_, true, std::nullopt});
}

void OpenRow::give_up(std::vector<state::UnreadLine>& unread_lines) {
    if (!open_)
        return;
    open_ = false;
    more_.insert(more_.begin(), first_);
    for (const Line& line : more_)
        unread_lines.push_back(unread(line, line.text.size() + 1,
                                      "the lines that continue this row to be read as well"));
    more_.clear();
}

} // namespace slotwitness::layouts
