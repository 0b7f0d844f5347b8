#include "free_text.hpp"

#include "free_text_rules.hpp"
#include "lines.hpp"
#include "open_record.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::layouts {
namespace {

/// Steps for one answer, besides the matcher's own bound for one line: a fraction of a second, and
/// for each octet what a grammar without guesses does not need, so that no answer is too long.
constexpr std::uint64_t most_steps = 50'000'000;
constexpr std::uint64_t more_steps_an_octet = 4;

class LinesReader {
  public:
    LinesReader(const Lines::Prepared& lines, bool ended, const TakeBlock& take)
        : spec_(lines.spec), lines_(lines), ended_(ended), take_(take) {}

    Leftover read(std::string_view answer, Octets octets) && {
        LineSplitter splitter{answer, octets};
        Line last{1, "", true};
        steps_left_ = most_steps + more_steps_an_octet * answer.size();
        while (splitter.next(last))
            read_line(last);
        close(ended_);
        if (!found_ && !spec_.empty_answer)
            left_.unread.push_back(unread(last, 1, row() + " before the end of the answer"));
        return std::move(left_);
    }

  private:
    void read_line(const Line& line) {
        if (!line.ended && !ended_) {
            refuse(line, line.text.size() + 1, "the rest of this line: the answer was cut here");
        } else if (is_blank(line.text)) {
            choice_ = 0;
            if (spec_.blank_ends)
                close(true);
        } else if (const auto problem = illegible(line, Tabs::allowed)) {
            refuse(line, problem->column, problem->expected);
        } else {
            match(line);
        }
    }

    void match(const Line& line) {
        abnf::Budget budget;
        budget.steps = std::min(budget.steps, steps_left_);
        const LineChoice& choice = lines_.choices[choice_];
        const abnf::Match match = choice.matcher.match(line.text, scratch_, budget);
        steps_left_ -= std::min(steps_left_, match.steps);
        if (match.outcome != abnf::Outcome::matched) {
            refuse(line, match.furthest + 1,
                   choice.matcher.expected(line.text, match, scratch_, budget));
            return;
        }
        cells_.clear();
        for (const abnf::Capture& capture : match.captures) {
            const std::string_view whole =
                line.text.substr(capture.begin, capture.end - capture.begin);
            const std::string_view text = without_blanks(whole);
            const std::size_t before = std::min(whole.find_first_not_of(' '), whole.size());
            cells_.push_back(
                {spec_.cells[capture.rule], text, {line.number, capture.begin + before + 1}});
        }
        const std::size_t rule = choice.rules[match.rule];
        choice_ = lines_.below[rule];
        take(line, lines_.rules[rule].meaning);
    }

    void take(const Line& line, LineMeaning meaning) {
        switch (meaning) {
        case LineMeaning::row:
            if (lost_section_)
                return refuse(line, 1, "a section's heading after a line that was not read");
            if (repeats(line, false))
                return;
            close(true);
            open_ = true;
            found_ = true;
            record_.begin({line.number, first_column(line)}, line.text);
            add(section_);
            add(cells_);
            return;
        case LineMeaning::continuation:
            if (!open_)
                return refuse(line, first_column(line), row() + " above this line");
            if (repeats(line, true))
                return;
            record_.add_line(line.text);
            add(cells_);
            return;
        case LineMeaning::section:
            close(true);
            section_.clear();
            if (repeats(line, false))
                return;
            section_ = cells_;
            lost_section_ = false;
            return;
        case LineMeaning::pass_over:
            left_.set_aside.push_back(line.number);
            return;
        case LineMeaning::empty:
            close(true);
            found_ = true;
            return;
        }
    }

    /// Refuses a line with a cell that stands in it twice, or in what it adds to.
    bool repeats(const Line& line, bool continues) {
        for (std::size_t i = 0; i < cells_.size(); ++i) {
            const Cell& cell = cells_[i];
            const auto is_same = [&](const Cell& other) { return other.label == cell.label; };
            if (std::any_of(cells_.begin(), cells_.begin() + static_cast<std::ptrdiff_t>(i),
                            is_same) ||
                (continues ? record_.has(cell.label)
                           : std::any_of(section_.begin(), section_.end(), is_same))) {
                refuse(line, cell.at.column,
                       "no second " + in_quotes(cell.label) + " of one block");
                return true;
            }
        }
        return false;
    }

    void add(const std::vector<Cell>& cells) {
        for (const Cell& cell : cells)
            record_.add(cell);
    }

    void close(bool complete) {
        if (open_)
            record_.close(take_, complete);
        open_ = false;
    }

    void refuse(const Line& line, std::size_t column, std::string expected) {
        choice_ = 0;
        close(false);
        lost_section_ = !spec_.sections.empty();
        left_.unread.push_back(unread(line, column, std::move(expected)));
    }

    static std::size_t first_column(const Line& line) {
        return std::min(line.text.find_first_not_of(' '), line.text.size()) + 1;
    }

    [[nodiscard]] std::string row() const {
        std::string text{"a line of rule "};
        for (std::size_t i = 0; i < spec_.rows.size(); ++i)
            text.append(i == 0 ? "" : " or ").append(in_quotes(spec_.rows[i]));
        return text;
    }

    const LinesSpec& spec_;
    const Lines::Prepared& lines_;
    bool ended_;
    const TakeBlock& take_;
    abnf::Scratch scratch_;
    std::uint64_t steps_left_ = 0; ///< for the rest of the answer
    std::size_t choice_ = 0;       ///< what the next line may be
    std::vector<Cell> cells_;      ///< of the line that is being read
    std::vector<Cell> section_;    ///< of the section that is open
    bool lost_section_ = false;    ///< a line that was not read may have headed another one
    OpenRecord record_;
    bool open_ = false;
    bool found_ = false; ///< a row or a line of `empty` was seen
    Leftover left_;
};

} // namespace

Leftover read_lines(std::string_view answer, const Lines& lines, bool ended, const TakeBlock& take,
                    Octets octets) {
    return LinesReader{lines.prepared(), ended, take}.read(answer, octets);
}

} // namespace slotwitness::layouts
