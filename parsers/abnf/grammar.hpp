#pragma once

#include "limits.hpp"

#include <slotwitness/state/problem.hpp>

#include <tl/expected.hpp>

#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

/// Grammars written in ABNF: RFC 5234 with the case-sensitive strings of RFC 7405.
namespace slotwitness::abnf {

struct Element;

/// `"text"`, `%s"Text"`, `%x0D.0A`.
struct Literal {
    std::string octets;
    bool case_sensitive = false; ///< otherwise ASCII letters match in either case (RFC 5234, 2.3)
};
/// `%x30-39`: one octet, both bounds within.
struct Range {
    unsigned char first = 0;
    unsigned char last = 0;
};
struct Reference {
    std::string name;     ///< in lower case
    std::size_t rule = 0; ///< its place in `Grammar::rules`
};
struct Repetition {
    static constexpr std::size_t unbounded = std::numeric_limits<std::size_t>::max();
    std::size_t least = 0;
    std::size_t most = unbounded;
    std::vector<Element> what; ///< exactly one
};
struct Concatenation {
    std::vector<Element> parts; ///< two or more
};
/// The first choice that leads to a match of the whole counts.
struct Alternation {
    std::vector<Element> choices; ///< two or more
};
/// `<in words>`: nothing that a program can match.
struct Prose {
    std::string text;
};

struct Element {
    std::variant<Literal, Range, Reference, Repetition, Concatenation, Alternation, Prose> is;
    state::Position at; ///< 0 in the core rules
};

struct Rule {
    std::string name; ///< as its definition writes it
    Element element;
    state::Position at;
    bool core = false; ///< predefined: RFC 5234, appendix B.1
};

/// Made by `parse_grammar`: each reference has its rule, no rule begins with itself.
struct Grammar {
    std::string where;
    std::vector<Rule> rules; ///< sorted by name in lower case, core rules among them

    /// Rule names are the same in either case (RFC 5234, 2.1).
    [[nodiscard]] std::optional<std::size_t> find(std::string_view name) const;
};

[[nodiscard]] std::string lower_case(std::string_view text);

/// Reads the rules of `text`, whose lines end in LF or CRLF. A rule begins in the column of the
/// first one, and lines further to the right continue it (RFC 5234, 2.2); empty lines and comments
/// may stand anywhere between. The core rules are there unless the text defines them itself.
///
/// Refused, with each place: what is no ABNF (the first such place), a rule that is not defined, or
/// twice without `=/`, or that can begin with itself; an octet above 255; `n*m` with n above m;
/// what exceeds limits.hpp. `where` names the text in problems.
///
/// Beyond the RFC: a comment may have any bytes but control bytes, and the last line needs no end.
[[nodiscard]] tl::expected<Grammar, std::vector<state::Problem>>
parse_grammar(std::string_view text, std::string_view where);

} // namespace slotwitness::abnf
