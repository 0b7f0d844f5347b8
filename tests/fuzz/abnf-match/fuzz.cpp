#include <slotwitness/abnf/matcher.hpp>

#include <array>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

using namespace slotwitness;

namespace {

constexpr std::array<std::string_view, 6> grammars{
    "r = *x x\nx = \"a\" / \"ab\" / 1*2DIGIT",
    "r = *(*x) \"b\"\nx = *\"a\"",
    "r = \"(\" *(x / r) \")\"\nx = 1*VCHAR",
    "r = 2*3(x [\",\" *SP] x)\nx = *3ALPHA / %x80-FF",
    "r = *OCTET x *OCTET x *OCTET\nx = \"--\" / %s\"Up\"",
    "r = \"Slot \" x \" is \" (\"up\" / \"down\") [\".\"]\nx = 1*(ALPHA / DIGIT / \"-\")",
};

} // namespace

/// A line that is a digit chooses one of the grammars above; other input is a grammar up to the
/// first empty line. The rest is the text.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view input{reinterpret_cast<const char*>(data), size};
    std::string_view grammar_text;
    std::string_view text;
    if (size >= 2 && input[0] >= '0' && input[0] < '6' && input[1] == '\n') {
        grammar_text = grammars[static_cast<std::size_t>(input[0] - '0')];
        text = input.substr(2);
    } else {
        const std::size_t end = input.find("\n\n");
        grammar_text = input.substr(0, end);
        text = end == std::string_view::npos ? std::string_view{} : input.substr(end + 2);
    }
    const auto grammar = abnf::parse_grammar(grammar_text, "fuzz");
    if (!grammar || !grammar->find("r"))
        return 0;
    const std::vector<std::string> rules{"r"};
    const std::vector<std::string> captured{grammar->find("x") ? "x" : "r"};
    const auto plain = abnf::Matcher::compile(*grammar, rules, {});
    const auto capturing = abnf::Matcher::compile(*grammar, rules, captured);
    if (plain.has_value() != capturing.has_value())
        std::abort();
    if (!plain)
        return 0;
    abnf::Scratch scratch;
    const abnf::Budget budget{20'000, 100};
    const abnf::Match match = plain->match(text, scratch, budget);
    const abnf::Match with_captures = capturing->match(text, scratch, budget);
    // Captures change nothing but the price.
    if (!is_spent(match.outcome) && !is_spent(with_captures.outcome) &&
        (match.outcome != with_captures.outcome || match.furthest != with_captures.furthest))
        std::abort();
    for (const abnf::Capture& capture : with_captures.captures)
        if (capture.begin > capture.end || capture.end > text.size())
            std::abort();
    if (match.outcome != abnf::Outcome::matched &&
        plain->expected(text, match, scratch, budget).empty())
        std::abort();
    return 0;
}
