#include "open_record.hpp"

#include <algorithm>

namespace slotwitness::layouts {

void OpenRecord::begin(state::Position at, std::string_view line) {
    at_ = at;
    text_ = line;
    cells_.clear();
    joined_.clear();
}

void OpenRecord::add_item(std::string_view item, state::Position at) {
    Cell& cell = cells_.back();
    if (cell.text.empty()) {
        cell.text = item;
        cell.at = at;
        return;
    }
    if (joined_.empty() || cell.text.data() != joined_.back().data())
        joined_.emplace_back(cell.text);
    cell.text = joined_.back().append(", ").append(item);
}

bool OpenRecord::has(std::string_view label) const {
    return std::any_of(cells_.begin(), cells_.end(),
                       [&](const Cell& cell) { return cell.label == label; });
}

void OpenRecord::close(const TakeBlock& take, bool complete) {
    take({at_, text_, cells_, complete, std::nullopt});
}

} // namespace slotwitness::layouts
