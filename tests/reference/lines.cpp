#include "../abnf/reference.hpp"
#include "reader.hpp"

#include <algorithm>

namespace slotwitness::reference {
namespace {

enum class Says { nothing, row, more, section, passed_over, none };

class FreeText {
  public:
    FreeText(const layouts::LinesSpec& spec, bool ended) : spec_(spec), ended_(ended) {}

    std::optional<Sheet> read(std::string_view answer) {
        const auto lines = lines_of(answer, ended_);
        for (const Line& line : lines)
            if (!read_line(line))
                return std::nullopt;
        close(ended_);
        if (!known_ && !spec_.empty_answer)
            sheet_.unread.push_back(end_of(lines));
        return sheet_;
    }

  private:
    /// False where matching would take too long.
    bool read_line(const Line& line) {
        const std::size_t unread = sheet_.unread.size();
        rule_.clear();
        if (line.cut) {
            refuse(line);
        } else if (trimmed(line.text).empty()) {
            if (spec_.blank_ends)
                close(true);
        } else if (cannot_be_read(line.text, false)) {
            refuse(line);
        } else {
            std::vector<Cell> cells;
            const auto says = first_of(line, cells);
            if (!says)
                return false;
            take(line, *says, cells);
        }
        above_ = sheet_.unread.size() == unread ? rule_ : "";
        return true;
    }

    std::optional<Says> first_of(const Line& line, std::vector<Cell>& cells) {
        for (const auto& [rules, says] : {std::pair{&spec_.rows, Says::row},
                                          {&spec_.continues, Says::more},
                                          {&spec_.sections, Says::section},
                                          {&spec_.pass_over, Says::passed_over},
                                          {&spec_.empty, Says::none}})
            for (const std::string& rule : *rules) {
                const auto wanted = spec_.right_below.find(rule);
                if (wanted != spec_.right_below.end() &&
                    std::count(wanted->second.begin(), wanted->second.end(), above_) == 0)
                    continue;
                const auto found = abnf::reference::first_reading(
                    *spec_.grammar, spec_.grammar->find(rule).value(), line.text, spec_.cells);
                if (!found)
                    return std::nullopt;
                if (!found->matched)
                    continue;
                for (const abnf::Capture& capture : found->captures)
                    cells.push_back(cell_of(line, capture));
                rule_ = rule;
                return says;
            }
        return Says::nothing;
    }

    [[nodiscard]] Cell cell_of(const Line& line, const abnf::Capture& capture) const {
        const std::string whole = line.text.substr(capture.begin, capture.end - capture.begin);
        const std::string text = trimmed(whole);
        if (text.empty())
            return {spec_.cells[capture.rule], "", 0, 0};
        return {spec_.cells[capture.rule], text, line.number, capture.begin + whole.find(text) + 1};
    }

    void take(const Line& line, Says says, const std::vector<Cell>& cells) {
        std::vector<Cell> together;
        if (says == Says::row)
            together = section_;
        else if (says == Says::more && open_)
            together = open_->cells;
        together.insert(together.end(), cells.begin(), cells.end());
        const bool twice = stands_twice(together);
        switch (says) {
        case Says::nothing:
            return refuse(line);
        case Says::row:
            if (section_lost_ || twice)
                return refuse(line);
            close(true);
            known_ = true;
            open_ =
                Block{line.number, line.text.find_first_not_of(' ') + 1, line.text, together, true};
            return;
        case Says::more:
            if (!open_ || twice)
                return refuse(line);
            open_->text += "\n" + line.text;
            open_->cells = together;
            return;
        case Says::section:
            close(true);
            section_.clear();
            if (twice)
                return refuse(line);
            section_ = cells;
            section_lost_ = false;
            return;
        case Says::passed_over:
            sheet_.set_aside.push_back(line.number);
            return;
        case Says::none:
            close(true);
            known_ = true;
            return;
        }
    }

    static bool stands_twice(const std::vector<Cell>& cells) {
        std::vector<std::string> labels;
        for (const Cell& cell : cells)
            labels.push_back(cell.label);
        std::sort(labels.begin(), labels.end());
        return std::adjacent_find(labels.begin(), labels.end()) != labels.end();
    }

    void close(bool complete) {
        if (open_) {
            open_->complete = complete;
            sheet_.blocks.push_back(*open_);
        }
        open_.reset();
    }

    void refuse(const Line& line) {
        close(false);
        section_lost_ = !spec_.sections.empty();
        sheet_.unread.emplace_back(line.number, line.text.substr(0, 16 * 1024));
    }

    const layouts::LinesSpec& spec_;
    bool ended_;
    Sheet sheet_;
    std::optional<Block> open_;
    std::vector<Cell> section_;
    std::string rule_;  ///< of the line that is being read
    std::string above_; ///< of the line above, if it was read
    bool section_lost_ = false;
    bool known_ = false;
};

} // namespace

std::optional<Sheet> read_lines(std::string_view answer, const layouts::LinesSpec& spec,
                                bool ended) {
    return FreeText{spec, ended}.read(answer);
}

} // namespace slotwitness::reference
