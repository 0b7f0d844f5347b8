#pragma once

#include "sheet.hpp"

#include <slotwitness/abnf/grammar.hpp>

#include <tl/expected.hpp>

#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// Free text, a line at a time, described by rules of an ABNF grammar: the layout `lines`.
struct LinesSpec {
    std::shared_ptr<const abnf::Grammar> grammar;
    std::vector<std::string> rows;      ///< a line that begins a block
    std::vector<std::string> continues; ///< a line that belongs to the block above
    /// A line that heads a section: its cells stand in every block below, up to the next section.
    std::vector<std::string> sections;
    std::vector<std::string> pass_over; ///< a line set aside
    std::vector<std::string> empty;     ///< a line that stands for "there are none"
    std::vector<std::string> cells;     ///< rules whose text is a cell of that label
    /// A line of this rule is one only where the line right above it was read by one of those. Two
    /// rules that fit the same text are told apart so. Not for rules of `rows`.
    std::map<std::string, std::vector<std::string>> right_below{};
    bool empty_answer = false; ///< an answer without any line stands for "there are none"
    bool blank_ends = true;    ///< no line continues a block beyond a blank line
};

/// A specification made ready once, for any number of answers and threads. Copies are cheap.
class Lines {
  public:
    /// Refused: a specification without rows or grammar, `right_below` of other rules than those of
    /// its lines or of rows, and what `abnf::Matcher` refuses.
    [[nodiscard]] static tl::expected<Lines, std::vector<state::Problem>> prepare(LinesSpec spec);

    [[nodiscard]] const LinesSpec& spec() const;

    struct Prepared;
    [[nodiscard]] const Prepared& prepared() const { return *prepared_; }

  private:
    explicit Lines(std::shared_ptr<const Prepared> prepared) : prepared_(std::move(prepared)) {}
    std::shared_ptr<const Prepared> prepared_;
};

/// Matches each line whole, trailing blanks included, with the first rule that fits, in the order
/// rows, continues, sections, pass_over, empty, but for those that must stand right below another
/// line. Blank lines carry nothing.
///
/// Unread, with the furthest place that any rule reached and what was expected there: a line that
/// no rule fits; one that continues a block where none is open; one with a cell that its block or
/// section has already; one whose reading is beyond the budget. A line that was not read ends its
/// block, which is then incomplete. It may also have headed another section: where there are
/// sections, the rows below it are unread up to the next one. A tab is read where the grammar has
/// it, other control bytes nowhere. `ended` as for tables. An answer without rows and without a
/// line of `empty` has an unread line that says so, unless `empty_answer`.
[[nodiscard]] Leftover read_lines(std::string_view answer, const Lines& lines, bool ended,
                                  const TakeBlock& take, Octets octets = Octets::any);

} // namespace slotwitness::layouts
