#pragma once

#include <slotwitness/layouts/sheet.hpp>

#include <string>
#include <vector>

/// What a layout hands over, kept: the whole answer cut into blocks.
namespace slotwitness::layouts {

struct KeptCell {
    std::string label;
    std::string text;
    state::Position at;
    friend bool operator==(const KeptCell&, const KeptCell&) = default;
};

struct KeptBlock {
    state::Position at;
    std::string text;
    std::vector<KeptCell> cells;
    bool complete = true;
    friend bool operator==(const KeptBlock&, const KeptBlock&) = default;
};

struct Sheet {
    std::vector<KeptBlock> blocks;
    std::vector<state::UnreadLine> unread;
    std::vector<std::size_t> set_aside;
    friend bool operator==(const Sheet&, const Sheet&) = default;
};

/// sheet_of(read_table, answer, spec, ended)
template <class Read, class Spec>
[[nodiscard]] Sheet sheet_of(Read read, std::string_view answer, const Spec& spec, bool ended) {
    Sheet sheet;
    Leftover left = read(answer, spec, ended, [&](const Block& block) {
        KeptBlock& kept = sheet.blocks.emplace_back(
            KeptBlock{block.at, std::string{block.text}, {}, block.complete});
        for (const Cell& cell : block.cells)
            kept.cells.push_back({std::string{cell.label}, std::string{cell.text}, cell.at});
    });
    sheet.unread = std::move(left.unread);
    sheet.set_aside = std::move(left.set_aside);
    return sheet;
}

} // namespace slotwitness::layouts
