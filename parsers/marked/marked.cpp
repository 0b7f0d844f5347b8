#include "marked.hpp"

#include <algorithm>

namespace slotwitness::marked {

namespace {

std::vector<std::string_view> split(std::string_view text) {
    std::vector<std::string_view> lines;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        std::string_view line = text.substr(0, end);
        if (line.ends_with('\r'))
            line.remove_suffix(1);
        lines.push_back(line);
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return lines;
}

bool is_blank(std::string_view text) {
    return text.find_first_not_of(' ') == std::string_view::npos;
}

class Marker {
  public:
    Marker(std::string_view answer, const state::Reading& reading) : reading_(reading) {
        for (const std::string_view line : split(answer))
            lines_.push_back({lines_.size() + 1, line, Mark::layout, {}, {}, {}, {}});
    }

    std::vector<MarkedLine> mark() && {
        for (const state::SetAsideLine& aside : reading_.set_aside) {
            MarkedLine& line = at(aside.line);
            line.mark = Mark::aside;
            line.why = aside.why;
        }
        for (const state::UnreadLine& unread : reading_.unread)
            mark_unread(unread);
        for (std::size_t i = 0; i < reading_.rows.size(); ++i)
            mark_row(i);
        for (const state::Remark& remark : reading_.remarks)
            at(remark.at.line).remarks.push_back({remark.at.column, remark.text});
        return std::move(lines_);
    }

  private:
    MarkedLine& at(std::size_t number) {
        if (number > lines_.size() && !has_line_beyond_) {
            lines_.push_back({lines_.size() + 1, {}, Mark::layout, {}, {}, {}, {}});
            has_line_beyond_ = true;
        }
        if (lines_.empty())
            lines_.push_back({1, {}, Mark::layout, {}, {}, {}, {}});
        return lines_[std::clamp<std::size_t>(number, 1, lines_.size()) - 1];
    }

    /// A block without a name is unread as a whole: its text has several lines.
    void mark_unread(const state::UnreadLine& unread) {
        at(unread.line).expected.push_back({unread.column, unread.expected});
        const std::size_t count = std::max<std::size_t>(split(unread.text).size(), 1);
        for (std::size_t i = 0; i < count && (i == 0 || unread.line + i <= lines_.size()); ++i)
            at(unread.line + i).mark = Mark::unread;
    }

    /// The lines of a row stand one below the other, but for what was set aside between them.
    void mark_row(std::size_t place) {
        const state::Row& row = reading_.rows[place];
        std::size_t number = row.at.line;
        std::size_t last = number;
        for (const std::string_view text : split(row.text)) {
            // It begins where it says, also beside something of that line that was not read.
            while (number <= lines_.size() && number != row.at.line && !may_be(at(number), text))
                ++number;
            if (number > lines_.size())
                break;
            mark_read(number);
            last = number++;
        }
        for (const auto& [attribute, fact] : row.facts)
            if (fact.at.line > 0 && fact.at.line <= lines_.size()) {
                mark_read(fact.at.line);
                last = std::max(last, fact.at.line);
            }
        mark_read(last);
        at(last).ends_rows.push_back(place);
    }

    /// What was not read of a line weighs more than the row that was.
    void mark_read(std::size_t number) {
        if (at(number).mark != Mark::unread)
            at(number).mark = Mark::row;
    }

    static bool may_be(const MarkedLine& line, std::string_view text) {
        return line.mark != Mark::aside && line.mark != Mark::unread &&
               is_blank(line.text) == is_blank(text);
    }

    const state::Reading& reading_;
    std::vector<MarkedLine> lines_;
    bool has_line_beyond_ = false;
};

} // namespace

std::string_view to_word(Mark mark) {
    switch (mark) {
    case Mark::layout:
        return "layout";
    case Mark::row:
        return "row";
    case Mark::aside:
        return "aside";
    case Mark::unread:
        return "unread";
    }
    __builtin_unreachable();
}

std::vector<MarkedLine> mark_lines(std::string_view answer, const state::Reading& reading) {
    return Marker{answer, reading}.mark();
}

} // namespace slotwitness::marked
