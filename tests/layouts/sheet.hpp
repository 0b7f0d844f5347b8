#pragma once

#include <slotwitness/layouts/sheet.hpp>

#include <map>
#include <optional>
#include <ostream>
#include <string>
#include <type_traits>
#include <vector>

/// What a layout hands over, kept: the whole answer cut into blocks.
namespace slotwitness::layouts {

struct KeptCell {
    std::string label;
    std::string text;
    state::Position at;
    friend bool operator==(const KeptCell&, const KeptCell&) = default;
    friend std::ostream& operator<<(std::ostream& out, const KeptCell& cell) {
        return out << cell.label << '=' << cell.text << " at " << cell.at.line << ':'
                   << cell.at.column;
    }
};

struct KeptBlock {
    state::Position at;
    std::string text;
    std::vector<KeptCell> cells;
    bool complete = true;
    std::optional<state::Kind> kind;
    friend bool operator==(const KeptBlock&, const KeptBlock&) = default;

    [[nodiscard]] std::map<std::string, std::string> values() const {
        std::map<std::string, std::string> all;
        for (const KeptCell& cell : cells)
            all[cell.label] = cell.text;
        return all;
    }
};

struct Sheet {
    std::vector<KeptBlock> blocks;
    std::vector<state::UnreadLine> unread;
    std::vector<std::size_t> set_aside;
    friend bool operator==(const Sheet&, const Sheet&) = default;

    [[nodiscard]] std::vector<std::map<std::string, std::string>> values() const {
        std::vector<std::map<std::string, std::string>> all;
        for (const KeptBlock& block : blocks)
            all.push_back(block.values());
        return all;
    }
};

[[nodiscard]] inline std::vector<std::map<std::string, std::string>> values(const Sheet& sheet) {
    return sheet.values();
}

/// The texts of each block's cells, in their order.
[[nodiscard]] inline std::vector<std::vector<std::string>> texts(const Sheet& sheet) {
    std::vector<std::vector<std::string>> all;
    for (const KeptBlock& block : sheet.blocks) {
        all.emplace_back();
        for (const KeptCell& cell : block.cells)
            all.back().push_back(cell.text);
    }
    return all;
}

[[nodiscard]] inline std::vector<std::size_t> unread_lines(const Sheet& sheet) {
    std::vector<std::size_t> lines;
    for (const state::UnreadLine& line : sheet.unread)
        lines.push_back(line.line);
    return lines;
}

/// sheet_of(read_table, answer, spec, ended). `octets` reaches the layouts that read lines.
template <class Read, class Spec>
[[nodiscard]] Sheet sheet_of(Read read, std::string_view answer, const Spec& spec, bool ended,
                             Octets octets = Octets::any) {
    Sheet sheet;
    const TakeBlock take = [&](const Block& block) {
        KeptBlock& kept = sheet.blocks.emplace_back(
            KeptBlock{block.at, std::string{block.text}, {}, block.complete, block.kind});
        for (const Cell& cell : block.cells)
            kept.cells.push_back({std::string{cell.label}, std::string{cell.text}, cell.at});
    };
    Leftover left;
    if constexpr (std::is_invocable_v<Read, std::string_view, const Spec&, bool, const TakeBlock&,
                                      Octets>)
        left = read(answer, spec, ended, take, octets);
    else
        left = read(answer, spec, ended, take);
    sheet.unread = std::move(left.unread);
    sheet.set_aside = std::move(left.set_aside);
    return sheet;
}

} // namespace slotwitness::layouts
