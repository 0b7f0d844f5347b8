#pragma once

#include "grammar.hpp"

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::abnf {

struct Program;
struct Stacks;

enum class Outcome {
    matched,
    not_matched,
    // The budget is spent: the text may match or not.
    out_of_steps,
    out_of_depth,
    out_of_room, ///< of limits.hpp
};
[[nodiscard]] constexpr bool is_spent(Outcome outcome) {
    return outcome != Outcome::matched && outcome != Outcome::not_matched;
}
/// "a simpler grammar: …" for outcomes that are spent.
[[nodiscard]] std::string_view simpler_grammar(Outcome outcome);

/// Where a captured rule stands in the text, in octets from 0.
struct Capture {
    std::uint32_t rule = 0; ///< its index among the captured rules
    std::uint32_t begin = 0;
    std::uint32_t end = 0;
    friend bool operator==(const Capture&, const Capture&) = default;
};

struct Match {
    Outcome outcome = Outcome::not_matched;
    /// Which of the rules matched.
    std::size_t rule = 0;
    /// Of matches only: each occurrence on the way that matched, in the order in which they begin,
    /// outer ones first. They live in the scratch until its next match.
    std::span<const Capture> captures;
    /// The first octet that nothing could go beyond; the size of a text that matched.
    std::size_t furthest = 0;
    std::uint64_t steps = 0; ///< that it took
};

/// What matches work in. Kept by the caller from one match to the next, so that a match allocates
/// nothing once the scratch has grown to what the grammar needs. For one thread at a time.
class Scratch {
  public:
    Scratch();
    ~Scratch();
    Scratch(Scratch&&) noexcept;
    Scratch& operator=(Scratch&&) noexcept;
    Scratch(const Scratch&) = delete;
    Scratch& operator=(const Scratch&) = delete;

  private:
    friend class Matcher;
    std::unique_ptr<Stacks> stacks_;
    std::vector<Capture> captures_;
    std::vector<std::size_t> open_;
};

/// Rules of a grammar, prepared to match whole texts. Immutable: may be copied, and used by several
/// threads, each with its own scratch.
///
/// It matches exactly the texts that RFC 5234 gives the rules: it comes back to every choice. Of
/// several readings it takes the first: an earlier alternative before a later one, a longer
/// repetition before a shorter one. A round of a repetition beyond the least number that would
/// consume nothing is not begun.
class Matcher {
  public:
    /// A text may match any of `rules`; the first that matches counts. Refused: names that are not
    /// rules of the grammar, and prose (`<…>`) in what the rules need.
    [[nodiscard]] static tl::expected<Matcher, std::vector<state::Problem>>
    compile(const Grammar& grammar, std::span<const std::string> rules,
            std::span<const std::string> captured);

    [[nodiscard]] Match match(std::string_view text, Scratch& scratch, Budget budget = {}) const;

    /// What could have stood at `match.furthest` of a text that did not match: `"up", "down" or
    /// rule "duration"`. It matches once more, slower; meant for the few texts that a person will
    /// look at.
    [[nodiscard]] std::string expected(std::string_view text, const Match& match, Scratch& scratch,
                                       Budget budget = {}) const;

  private:
    explicit Matcher(std::shared_ptr<const Program> program) : program_(std::move(program)) {}
    std::shared_ptr<const Program> program_;
};

} // namespace slotwitness::abnf
