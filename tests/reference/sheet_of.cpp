#include "sheet_of.hpp"

#include <sstream>

namespace slotwitness::reference {
namespace {

using layouts::Leftover;
using layouts::TakeBlock;

struct Layouts {
    std::string_view answer;
    bool ended;
    const TakeBlock& take;
    Leftover operator()(const layouts::TableSpec& spec) const {
        return layouts::read_table(answer, spec, ended, take);
    }
    Leftover operator()(const layouts::RecordSpec& spec) const {
        return layouts::read_record(answer, spec, ended, take);
    }
    Leftover operator()(const layouts::Lines& lines) const {
        return layouts::read_lines(answer, lines, ended, take);
    }
    Leftover operator()(const layouts::JsonSpec& spec) const {
        return layouts::read_json(answer, spec, ended, take);
    }
    Leftover operator()(const layouts::XmlSpec& spec) const {
        return layouts::read_xml(answer, spec, ended, take);
    }
    Leftover operator()(const layouts::HardwareXmlSpec& spec) const {
        return layouts::read_hardware_xml(answer, spec, ended, take);
    }
};

struct References {
    std::string_view answer;
    bool ended;
    std::optional<Sheet> operator()(const layouts::TableSpec& spec) const {
        return read_table(answer, spec, ended);
    }
    std::optional<Sheet> operator()(const layouts::RecordSpec& spec) const {
        return read_record(answer, spec, ended);
    }
    std::optional<Sheet> operator()(const layouts::Lines& lines) const {
        return read_lines(answer, lines.spec(), ended);
    }
    std::optional<Sheet> operator()(const layouts::JsonSpec&) const { return std::nullopt; }
    std::optional<Sheet> operator()(const layouts::XmlSpec&) const { return std::nullopt; }
    std::optional<Sheet> operator()(const layouts::HardwareXmlSpec&) const { return std::nullopt; }
};

} // namespace

Sheet sheet_of(std::string_view answer, const profiles::Layout& layout, bool ended) {
    Sheet sheet;
    const TakeBlock take = [&](const layouts::Block& block) {
        Block copy{block.at.line, block.at.column, std::string{block.text}, {}, block.complete};
        for (const layouts::Cell& cell : block.cells) {
            const bool empty = cell.text.empty();
            copy.cells.push_back({std::string{cell.label}, std::string{cell.text},
                                  empty ? 0 : cell.at.line, empty ? 0 : cell.at.column});
        }
        sheet.blocks.push_back(std::move(copy));
    };
    const Leftover left = std::visit(Layouts{answer, ended, take}, layout);
    for (const state::UnreadLine& line : left.unread)
        sheet.unread.emplace_back(line.line, line.text);
    sheet.set_aside = left.set_aside;
    return sheet;
}

std::optional<Sheet> reference_of(std::string_view answer, const profiles::Layout& layout,
                                  bool ended) {
    return std::visit(References{answer, ended}, layout);
}

std::string to_text(const Sheet& sheet) {
    std::ostringstream out;
    for (const Block& block : sheet.blocks) {
        out << block.line << ':' << block.column << (block.complete ? "" : " not complete") << " |"
            << block.text << "|\n";
        for (const Cell& cell : block.cells)
            out << "  " << cell.line << ':' << cell.column << ' ' << cell.label << " |" << cell.text
                << "|\n";
    }
    for (const auto& [line, text] : sheet.unread)
        out << "unread " << line << " |" << text << "|\n";
    for (const std::size_t line : sheet.set_aside)
        out << "set aside " << line << '\n';
    return out.str();
}

} // namespace slotwitness::reference
