#include "shape.hpp"

#include "text.hpp"

#include <algorithm>
#include <set>
#include <utility>

namespace slotwitness::draft {

namespace {

struct Labels {
    std::vector<std::string> operator()(const layouts::TableSpec& spec) const {
        return spec.columns;
    }
    std::vector<std::string> operator()(const layouts::RecordSpec& spec) const {
        std::vector<std::string> labels;
        if (!spec.heading.empty())
            labels.push_back(spec.heading);
        labels.insert(labels.end(), spec.labels.begin(), spec.labels.end());
        return labels;
    }
    std::vector<std::string> operator()(const JsonShape& shape) const { return shape.cells; }
};

struct Reader {
    std::string_view text;
    const layouts::TakeBlock& take;

    layouts::Leftover operator()(const layouts::TableSpec& spec) const {
        return layouts::read_table(text, spec, true, take);
    }
    layouts::Leftover operator()(const layouts::RecordSpec& spec) const {
        return layouts::read_record(text, spec, true, take);
    }
    layouts::Leftover operator()(const JsonShape& shape) const {
        layouts::JsonSpec spec;
        if (auto rows = layouts::parse_pointer(shape.rows, layouts::Wildcards::one))
            spec.rows = std::move(*rows);
        spec.cells = shape.cells;
        spec.pass_over = shape.pass_over;
        return layouts::read_json(text, spec, true, take);
    }
};

std::vector<std::string>* pass_over_of(Layout& layout) {
    if (auto* table = std::get_if<layouts::TableSpec>(&layout))
        return &table->pass_over;
    if (auto* record = std::get_if<layouts::RecordSpec>(&layout))
        return &record->pass_over;
    return nullptr;
}

/// Lines before the first row or after a blank line behind the last are titles and footers. What
/// is unread between rows may be a row: no draft passes over that.
Shape without_footers(std::string_view text, Shape shape) {
    constexpr std::size_t most = 6;
    auto* pass_over = pass_over_of(shape.layout);
    if (pass_over == nullptr || shape.blocks == 0 || shape.unread.empty())
        return shape;
    std::size_t first = 0;
    std::size_t last = 0;
    const layouts::TakeBlock note = [&](const layouts::Block& block) {
        const auto lines =
            static_cast<std::size_t>(std::count(block.text.begin(), block.text.end(), '\n'));
        first = first == 0 ? block.at.line : first;
        last = block.at.line + lines;
    };
    static_cast<void>(std::visit(
        [&](const auto& layout) {
            return Reader{text, note}(layout);
        },
        shape.layout));
    const std::vector<std::string> lines = lines_of(text);
    std::vector<std::string> footers;
    for (const state::UnreadLine& unread : shape.unread) {
        const bool is_title = unread.line < first;
        const bool is_footer =
            unread.line > last + 1 && last < lines.size() && is_blank(lines[last]);
        if (!is_title && !is_footer)
            return shape;
        std::string line(unread.text.substr(0, unread.text.find_last_not_of(' ') + 1));
        if (line.empty() || line.find_first_of("\t\x1a") != std::string::npos ||
            footers.size() == most)
            return shape;
        footers.push_back(std::move(line));
    }
    Layout layout = shape.layout;
    auto& names = *pass_over_of(layout);
    names.insert(names.end(), footers.begin(), footers.end());
    Shape better = try_out(text, std::move(layout));
    if (better.unread.size() >= shape.unread.size() || better.blocks != shape.blocks)
        return shape;
    better.footers = std::move(footers);
    return better;
}

} // namespace

Shape try_out(std::string_view text, Layout layout) {
    Shape shape{std::move(layout), {}, 0, {}, {}};
    for (std::string& label : std::visit(Labels{}, shape.layout))
        shape.columns.push_back({std::move(label), {}});
    const layouts::TakeBlock take = [&](const layouts::Block& block) {
        for (Column& column : shape.columns) {
            const auto cell =
                std::find_if(block.cells.begin(), block.cells.end(),
                             [&](const layouts::Cell& each) { return each.label == column.label; });
            column.texts.push_back(
                cell == block.cells.end() ? std::nullopt : std::optional<std::string>(cell->text));
        }
        ++shape.blocks;
    };
    shape.unread = std::visit(Reader{text, take}, shape.layout).unread;
    return shape;
}

Shape best_shape(std::string_view text) {
    const std::vector<std::string> lines = legible_lines_of(text);
    std::vector<Layout> layouts = json_shapes(text);
    if (layouts.empty())
        layouts = table_shapes(lines);
    std::optional<Shape> best;
    for (Layout& layout : layouts) {
        Shape shape = without_footers(text, try_out(text, std::move(layout)));
        if (shape.blocks == 0)
            continue;
        if (shape.unread.empty())
            return shape;
        if (!best || shape.unread.size() < best->unread.size())
            best = std::move(shape);
    }
    if (best && best->unread.size() * 4 < lines.size() + 4)
        return std::move(*best);
    Shape bare = try_out(text, bare_table(lines));
    return best && best->unread.size() <= bare.unread.size() ? std::move(*best) : bare;
}

} // namespace slotwitness::draft
