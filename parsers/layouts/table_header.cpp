#include "table_header.hpp"

#include "table_lines.hpp"

#include <algorithm>
#include <limits>

namespace slotwitness::layouts {

HeaderReader::HeaderReader(const TableSpec& spec) : in_box_(spec.edges == TableSpec::Edges::box) {
    for (const std::string& label : spec.columns) {
        const bool right = std::find(spec.right_aligned.begin(), spec.right_aligned.end(), label) !=
                           spec.right_aligned.end();
        blank_columns_.push_back({label, std::numeric_limits<std::size_t>::max(), 0, right});
    }
    std::vector<std::vector<std::string>> printed = spec.header;
    if (printed.empty() && spec.edges != TableSpec::Edges::blanks)
        printed.push_back(spec.columns);
    for (const auto& texts : printed) {
        Words words;
        for (std::size_t i = 0; i < std::min(texts.size(), spec.columns.size()); ++i) {
            if (texts[i].empty())
                continue;
            words.texts.push_back(texts[i]);
            words.columns.push_back(i);
        }
        lines_.push_back(std::move(words));
    }
    if (!lines_.empty() && !lines_.front().texts.empty())
        first_letter_ = lines_.front().texts.front().front();
}

HeaderReader::Seen HeaderReader::read_on(const Glyphs& line) {
    if (lines_.empty())
        return Seen::other;
    if (!take(line, lines_[next_], next_ == 0)) {
        const bool anew = next_ != 0 && take(line, lines_.front(), true);
        next_ = anew ? 1 : 0;
        return anew ? Seen::part : Seen::other;
    }
    if (++next_ < lines_.size())
        return Seen::part;
    next_ = 0;
    return Seen::whole;
}

bool HeaderReader::take(const Glyphs& line, const Words& words, bool is_first) {
    const auto stretches = in_box_ ? parse_boxed_header(line.line(), words.texts)
                                   : parse_header(line.line(), words.texts);
    if (!stretches)
        return false;
    if (is_first)
        columns_ = blank_columns_;
    for (std::size_t i = 0; i < stretches->size(); ++i) {
        Column& column = columns_[words.columns[i]];
        column.begin = std::min(column.begin, line.place_of((*stretches)[i].begin));
        column.end = std::max(column.end, line.place_of((*stretches)[i].end));
    }
    return true;
}

} // namespace slotwitness::layouts
