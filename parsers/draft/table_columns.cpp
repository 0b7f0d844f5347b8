#include "table_columns.hpp"

#include "text.hpp"

#include <algorithm>
#include <set>

namespace slotwitness::draft {

Sheet::Sheet(const std::vector<std::string>& lines) {
    constexpr std::size_t most = 2'000; // enough to see where columns stand
    for (const std::string& line : lines)
        if (!is_blank(line) && rows_.size() < most)
            rows_.emplace_back(line);
}

bool Sheet::always_blank(std::size_t place) const {
    return std::all_of(rows_.begin(), rows_.end(),
                       [&](const layouts::Glyphs& row) { return row.is_blank(place); });
}

bool Sheet::has_ink(std::size_t begin, std::size_t end) const {
    for (std::size_t place = begin; place < end; ++place)
        if (!always_blank(place))
            return true;
    return false;
}

Alignment Sheet::alignment_under(const Extent& header) const {
    std::size_t inked = 0;
    std::size_t begin = 0;
    std::size_t end = 0;
    for (const layouts::Glyphs& row : rows_) {
        bool has_ink = false;
        for (std::size_t place = header.begin; place < header.end; ++place)
            has_ink = has_ink || !row.is_blank(place);
        const bool is_free = header.begin == 0 || row.is_blank(header.begin - 1);
        inked += has_ink ? 1 : 0;
        begin += is_free && !row.is_blank(header.begin) ? 1 : 0;
        end += row.is_blank(header.end) && !row.is_blank(header.end - 1) ? 1 : 0;
    }
    if (inked == 0 || end < inked)
        return Alignment::left;
    return begin < inked ? Alignment::right : Alignment::either;
}

bool Sheet::has_blank_up_to(std::size_t place) const {
    return std::any_of(rows_.begin(), rows_.end(), [&](const layouts::Glyphs& row) {
        for (std::size_t i = 0; i < place; ++i)
            if (!row.is_blank(i))
                return false;
        return true;
    });
}

std::vector<Extent> labels_in(std::string_view header, const Sheet& rows) {
    const layouts::Glyphs glyphs(header);
    std::vector<Extent> labels;
    for (std::size_t place = 0; place < glyphs.size();) {
        if (glyphs.is_blank(place)) {
            ++place;
            continue;
        }
        std::size_t end = place;
        while (!glyphs.is_blank(end))
            ++end;
        Extent word{place, end, std::string(glyphs.between(place, end))};
        const bool is_near = !labels.empty() && labels.back().end + 1 == word.begin;
        const bool is_one = is_near && !(rows.always_blank(word.begin - 1) &&
                                         rows.has_ink(labels.back().begin, labels.back().end) &&
                                         rows.has_ink(word.begin, word.end));
        if (is_one) {
            labels.back().text += " " + word.text;
            labels.back().end = word.end;
        } else {
            labels.push_back(std::move(word));
        }
        place = end;
    }
    return labels;
}

layouts::TableSpec table_of(layouts::TableSpec::Edges edges,
                            const std::vector<std::vector<std::string>>& header) {
    layouts::TableSpec spec;
    spec.edges = edges;
    std::set<std::string> taken;
    bool renamed = header.size() > 1;
    for (std::size_t i = 0; i < header.front().size(); ++i) {
        std::string label;
        for (const auto& line : header)
            label += (label.empty() || line[i].empty() ? "" : " ") + line[i];
        spec.columns.push_back(unique(label, " ", taken));
        renamed = renamed || spec.columns.back() != label;
    }
    if (renamed)
        spec.header = header;
    return spec;
}

} // namespace slotwitness::draft
