#include "free_text.hpp"

#include "lines.hpp"
#include "open_record.hpp"

#include <slotwitness/abnf/matcher.hpp>

#include <algorithm>
#include <array>
#include <utility>

namespace slotwitness::layouts {
namespace {

/// Steps for one answer, besides the matcher's own bound for one line: a fraction of a second, and
/// for each octet what a grammar without guesses does not need, so that no answer is too long.
constexpr std::uint64_t most_steps = 50'000'000;
constexpr std::uint64_t more_steps_an_octet = 4;

enum class Meaning { row, continuation, section, pass_over, empty };

/// The rules of a specification, in the order in which they are tried.
std::array<std::pair<const std::vector<std::string>*, Meaning>, 5> in_order(const LinesSpec& spec) {
    return {{{&spec.rows, Meaning::row},
             {&spec.continues, Meaning::continuation},
             {&spec.sections, Meaning::section},
             {&spec.pass_over, Meaning::pass_over},
             {&spec.empty, Meaning::empty}}};
}

} // namespace

struct Lines::Prepared {
    LinesSpec spec;
    std::vector<Meaning> meanings; ///< of each rule of the matcher
    abnf::Matcher matcher;
};

tl::expected<Lines, std::vector<state::Problem>> Lines::prepare(LinesSpec spec) {
    const auto refuse = [](std::string expected, std::string remedy) {
        return tl::unexpected(
            std::vector<state::Problem>{{"", {}, "", std::move(expected), std::move(remedy)}});
    };
    if (spec.grammar == nullptr)
        return refuse("a grammar of the lines", "describe the lines in ABNF");
    if (spec.rows.empty())
        return refuse("a rule of lines that begin a block", "name the rule of such a line");
    std::vector<std::string> rules;
    std::vector<Meaning> meanings;
    for (const auto& [names, meaning] : in_order(spec)) {
        rules.insert(rules.end(), names->begin(), names->end());
        meanings.resize(rules.size(), meaning);
    }
    auto matcher = abnf::Matcher::compile(*spec.grammar, rules, spec.cells);
    if (!matcher)
        return tl::unexpected(std::move(matcher.error()));
    return Lines{std::make_shared<const Prepared>(
        Prepared{std::move(spec), std::move(meanings), std::move(*matcher)})};
}

const LinesSpec& Lines::spec() const {
    return prepared_->spec;
}

namespace {

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
        const abnf::Match match = lines_.matcher.match(line.text, scratch_, budget);
        steps_left_ -= std::min(steps_left_, match.steps);
        if (match.outcome != abnf::Outcome::matched) {
            const std::string expected =
                lines_.matcher.expected(line.text, match, scratch_, budget);
            refuse(line, match.furthest + 1, expected);
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
        take(line, lines_.meanings[match.rule]);
    }

    void take(const Line& line, Meaning meaning) {
        switch (meaning) {
        case Meaning::row:
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
        case Meaning::continuation:
            if (!open_)
                return refuse(line, first_column(line), row() + " above this line");
            if (repeats(line, true))
                return;
            record_.add_line(line.text);
            add(cells_);
            return;
        case Meaning::section:
            close(true);
            section_.clear();
            if (repeats(line, false))
                return;
            section_ = cells_;
            lost_section_ = false;
            return;
        case Meaning::pass_over:
            left_.set_aside.push_back(line.number);
            return;
        case Meaning::empty:
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
