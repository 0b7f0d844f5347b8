#include "free_text.hpp"

#include "lines.hpp"
#include "open_record.hpp"

#include <slotwitness/abnf/matcher.hpp>

#include <algorithm>
#include <array>
#include <optional>
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

/// A rule of the specification.
struct LineRule {
    std::string name;
    Meaning meaning;
};

/// What a line may be, by the line right above it.
struct Choice {
    std::vector<std::size_t> rules; ///< of the specification, in the order of the matcher's
    abnf::Matcher matcher;
};

} // namespace

struct Lines::Prepared {
    LinesSpec spec;
    std::vector<LineRule> rules;
    std::vector<Choice> choices;    ///< first: below a line that no rule waits for
    std::vector<std::size_t> below; ///< each rule's choice for the line below
};

namespace {

using Problems = std::vector<state::Problem>;

tl::unexpected<Problems> refused(std::string found, std::string expected, std::string remedy) {
    return tl::unexpected(
        Problems{{"", {}, std::move(found), std::move(expected), std::move(remedy)}});
}

bool has(const std::vector<std::string>& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

std::optional<Problems> check_right_below(const LinesSpec& spec,
                                          const std::vector<LineRule>& rules) {
    const auto is_line = [&](const std::string& name) {
        return std::any_of(rules.begin(), rules.end(),
                           [&](const LineRule& rule) { return rule.name == name; });
    };
    for (const auto& [name, above] : spec.right_below) {
        if (!is_line(name) || has(spec.rows, name))
            return refused(name, "a rule of lines that begin no block", "leave it out").value();
        for (const std::string& one : above)
            if (!is_line(one))
                return refused(one, "a rule of lines", "name the rule of the line above").value();
    }
    return std::nullopt;
}

/// The rules that a line may be of below one of the rule `above`, or below no such line.
std::vector<std::size_t> rules_below(const LinesSpec& spec, const std::vector<LineRule>& rules,
                                     const LineRule* above) {
    std::vector<std::size_t> all;
    for (std::size_t i = 0; i < rules.size(); ++i) {
        const auto wanted = spec.right_below.find(rules[i].name);
        if (wanted == spec.right_below.end() ||
            (above != nullptr && has(wanted->second, above->name)))
            all.push_back(i);
    }
    return all;
}

} // namespace

tl::expected<Lines, std::vector<state::Problem>> Lines::prepare(LinesSpec spec) {
    if (spec.grammar == nullptr)
        return refused("", "a grammar of the lines", "describe the lines in ABNF");
    if (spec.rows.empty())
        return refused("", "a rule of lines that begin a block", "name the rule of such a line");
    Prepared made;
    for (const auto& [names, meaning] : in_order(spec))
        for (const std::string& name : *names)
            made.rules.push_back({name, meaning});
    if (auto problems = check_right_below(spec, made.rules))
        return tl::unexpected(std::move(*problems));
    std::vector<const LineRule*> above{nullptr};
    for (const LineRule& rule : made.rules)
        above.push_back(&rule);
    for (const LineRule* rule : above) {
        std::vector<std::size_t> rules = rules_below(spec, made.rules, rule);
        auto choice = std::find_if(made.choices.begin(), made.choices.end(),
                                   [&](const Choice& one) { return one.rules == rules; });
        if (rule != nullptr)
            made.below.push_back(static_cast<std::size_t>(choice - made.choices.begin()));
        if (choice != made.choices.end())
            continue;
        std::vector<std::string> names;
        for (const std::size_t i : rules)
            names.push_back(made.rules[i].name);
        auto matcher = abnf::Matcher::compile(*spec.grammar, names, spec.cells);
        if (!matcher)
            return tl::unexpected(std::move(matcher.error()));
        made.choices.push_back({std::move(rules), std::move(*matcher)});
    }
    made.spec = std::move(spec);
    return Lines{std::make_shared<const Prepared>(std::move(made))};
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
        const Choice& choice = lines_.choices[choice_];
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
