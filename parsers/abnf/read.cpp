#include "check.hpp"
#include "core_rules.hpp"
#include "draft.hpp"
#include "messages.hpp"

#include <tao/pegtl/contrib/limit_depth.hpp>

#include <algorithm>
#include <utility>

namespace slotwitness::abnf {
namespace {

namespace p = tao::pegtl;

/// Thrown inside the reader, never out of it.
struct Refusal {
    state::Position at;
    Message message;
};

template <class Input>
state::Position place_of(const Input& in) {
    const auto at = in.position();
    return {at.line, at.column};
}

template <class Rule>
struct Action : p::nothing<Rule> {};

/// An action that calls a member of the draft with the text that its rule matched and its place.
template <void (Draft::*member)(std::string_view, state::Position)>
struct Takes {
    template <class Input>
    static void apply(const Input& in, Draft& draft) {
        (draft.*member)(in.string_view(), place_of(in));
    }
};

template <>
struct Action<g::defined_name> {
    template <class Input>
    static void apply(const Input& in, Draft& draft) {
        if (draft.rules.size() >= most_rules)
            throw Refusal{place_of(in),
                          {"at most 1000 rules", "describe each answer by a grammar of its own"}};
        draft.begin_rule(in.string_view(), place_of(in));
    }
};
template <>
struct Action<g::definition> {
    static void apply0(Draft& draft) { draft.define(false); }
};
template <>
struct Action<g::more_choices> {
    static void apply0(Draft& draft) { draft.define(true); }
};
template <>
struct Action<g::rule> {
    static void apply0(Draft& draft) { draft.end_rule(); }
};
template <>
struct Action<g::slash> {
    static void apply0(Draft& draft) { draft.next_choice(); }
};

struct Opens {
    template <class Input>
    static void apply(const Input& in, Draft& draft) {
        draft.open(place_of(in));
    }
};
template <>
struct Action<g::open_group> : Opens {};
template <>
struct Action<g::open_option> : Opens {};
template <>
struct Action<g::close_group> {
    static void apply0(Draft& draft) { draft.close(false); }
};
template <>
struct Action<g::close_option> {
    static void apply0(Draft& draft) { draft.close(true); }
};
template <>
struct Action<g::nested> : p::limit_depth<deepest_groups> {};

template <>
struct Action<g::least> : Takes<&Draft::repeat_least> {};
template <>
struct Action<g::most> : Takes<&Draft::repeat_most> {};
template <>
struct Action<g::asterisk> {
    static void apply0(Draft& draft) { draft.repeat_without_bound(); }
};

template <>
struct Action<g::reference> {
    template <class Input>
    static void apply(const Input& in, Draft& draft) {
        draft.add({Reference{lower_case(in.string_view()), 0}, place_of(in)});
    }
};

/// The text between its double quotes; whether its letters match in one case only.
template <bool case_sensitive>
struct TakesText {
    template <class Input>
    static void apply(const Input& in, Draft& draft) {
        std::string_view text = in.string_view();
        text = text.substr(text.find('"') + 1);
        text.remove_suffix(1);
        draft.add({Literal{std::string{text}, case_sensitive}, place_of(in)});
    }
};
template <>
struct Action<g::plain_text> : TakesText<false> {};
template <>
struct Action<g::insensitive_text> : TakesText<false> {};
template <>
struct Action<g::sensitive_text> : TakesText<true> {};
template <>
struct Action<g::prose> {
    template <class Input>
    static void apply(const Input& in, Draft& draft) {
        const std::string_view text = in.string_view();
        draft.add({Prose{std::string{text.substr(1, text.size() - 2)}}, place_of(in)});
    }
};

template <unsigned base>
struct TakesOctet {
    template <class Input>
    static void apply(const Input& in, Draft& draft) {
        draft.octet(in.string_view(), base, place_of(in));
    }
};
template <>
struct Action<g::octet<p::xdigit>> : TakesOctet<16> {};
template <>
struct Action<g::octet<p::digit>> : TakesOctet<10> {};
template <>
struct Action<g::octet<g::binary_digit>> : TakesOctet<2> {};
template <>
struct Action<g::range_dash> {
    static void apply0(Draft& draft) { draft.begin_range(); }
};
template <>
struct Action<g::number> {
    static void apply0(Draft& draft) { draft.end_octets(); }
};

template <class Rule>
struct Control : p::normal<Rule> {
    template <class Input, class... States>
    [[noreturn]] static void raise(const Input& in, States&&...) {
        if constexpr (std::is_base_of_v<p::raise<Rule>, Rule>)
            throw Refusal{place_of(in), message<Rule>};
        else
            throw p::parse_error("defect in the grammar", in);
    }
};

/// What stands at a place: a word, or one character in whole.
std::string found_at(std::string_view text, state::Position at) {
    for (std::size_t line = 1; line < at.line; ++line)
        text.remove_prefix(text.find('\n') + 1);
    text.remove_prefix(std::min(at.column - 1, text.size()));
    if (text.empty())
        return "end of text";
    if (text.front() == '\n' || text.starts_with("\r\n"))
        return "end of line";
    const auto is_word = [](char c) {
        return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') ||
               c == '-';
    };
    std::size_t size = 0;
    while (size < text.size() && is_word(text[size]))
        ++size;
    if (size == 0)
        for (size = 1;
             size < text.size() && (static_cast<unsigned char>(text[size]) & 0xc0U) == 0x80;)
            ++size;
    constexpr std::size_t longest_shown = 64;
    return std::string{text.substr(0, std::min(size, longest_shown))};
}

/// The blanks before the first rule (RFC 5234, section 2.2: the alignment counts from there).
std::string_view margin_of(std::string_view text) {
    while (!text.empty()) {
        const std::size_t begin = text.find_first_not_of(" \t");
        if (begin == std::string_view::npos)
            break;
        if (text[begin] != ';' && text[begin] != '\n' && !text.substr(begin).starts_with("\r\n"))
            return text.substr(0, begin);
        text.remove_prefix(std::min(text.find('\n', begin), text.size() - 1) + 1);
    }
    return {};
}

/// The rules that the text defines and the core rules that it does not.
void read_rules(std::string_view text, Draft& draft) {
    p::memory_input in(text.data(), text.size(), "grammar");
    p::parse<g::rule_list, Action, Control>(in, draft);
}

} // namespace

tl::expected<Grammar, std::vector<state::Problem>> parse_grammar(std::string_view text,
                                                                 std::string_view where) {
    const auto refuse = [&](std::vector<state::Problem> problems) {
        std::stable_sort(problems.begin(), problems.end(),
                         [](const auto& a, const auto& b) { return a.at < b.at; });
        return tl::unexpected(std::move(problems));
    };
    const std::string name{where};
    if (text.size() > longest_grammar)
        return refuse({{name,
                        {},
                        "a grammar of " + std::to_string(text.size()) + " bytes",
                        "at most " + std::to_string(longest_grammar) + " bytes",
                        "describe each answer by a grammar of its own"}});
    Draft draft{margin_of(text), where};
    const auto give_up = [&](state::Position at, const Message& message) {
        draft.problems.push_back({name, at, found_at(text, at), std::string{message.expected},
                                  std::string{message.remedy}});
        return refuse(std::move(draft.problems));
    };
    try {
        read_rules(text, draft);
    } catch (const Refusal& refusal) {
        return give_up(refusal.at, refusal.message);
    } catch (const p::parse_error& error) {
        const auto& at = error.positions().front();
        return give_up({at.line, at.column},
                       {"at most 32 groups and options in one another",
                        "give what stands in the parentheses a rule of its own"});
    }
    if (draft.rules.empty())
        draft.problems.push_back(
            {name, {}, "", "one rule at least", "write a rule as in `slot = \"FAB\" 1*DIGIT`"});
    for (const auto& [key, rule] : core_rules())
        draft.rules.try_emplace(key, rule);
    Grammar grammar{name, {}};
    grammar.rules.reserve(draft.rules.size());
    for (auto& [key, rule] : draft.rules)
        grammar.rules.push_back(std::move(rule));
    check(grammar, draft.problems);
    if (!draft.problems.empty())
        return refuse(std::move(draft.problems));
    return grammar;
}

} // namespace slotwitness::abnf
