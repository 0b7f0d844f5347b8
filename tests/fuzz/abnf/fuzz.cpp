#include <slotwitness/abnf/matcher.hpp>

#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

using namespace slotwitness;

/// The input is a grammar. Problems have what a person needs; what is accepted can be prepared, and
/// matches end within their budget.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text{reinterpret_cast<const char*>(data), size};
    const auto grammar = abnf::parse_grammar(text, "fuzz");
    if (!grammar) {
        if (grammar.error().empty())
            std::abort();
        for (const state::Problem& problem : grammar.error())
            if (problem.expected.empty() || problem.remedy.empty())
                std::abort();
        return 0;
    }
    abnf::Scratch scratch;
    for (const abnf::Rule& rule : grammar->rules) {
        if (rule.core)
            continue;
        const std::vector<std::string> name{rule.name};
        const auto matcher = abnf::Matcher::compile(*grammar, name, name);
        if (!matcher)
            continue; // prose
        const abnf::Budget budget{2000, 100};
        for (const std::string_view subject : {std::string_view{}, text.substr(0, 100)}) {
            const abnf::Match match = matcher->match(subject, scratch, budget);
            if (match.furthest > subject.size() || match.steps > budget.steps + 1000)
                std::abort();
            if (match.outcome != abnf::Outcome::matched &&
                matcher->expected(subject, match, scratch, budget).empty())
                std::abort();
        }
    }
    return 0;
}
