#include "document_row.hpp"

#include "lines.hpp"

namespace slotwitness::layouts {

void DocumentRow::add(std::string_view label, std::string_view text, std::size_t at) {
    cells_.push_back({label, std::string{without_blanks(text)}, at});
}

void DocumentRow::withdraw(std::string_view label) {
    std::erase_if(cells_, [&](const Kept& cell) { return cell.label == label; });
}

void DocumentRow::close(std::size_t end, const TakeBlock& take) const {
    std::vector<Cell> cells;
    cells.reserve(cells_.size());
    for (const Kept& cell : cells_)
        cells.push_back({cell.label, cell.text, document_->position(cell.at)});
    const std::string text = document_->lines(begin_, end);
    take({document_->position(begin_), text, cells, complete, kind});
}

} // namespace slotwitness::layouts
