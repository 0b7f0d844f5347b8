#pragma once

#include <slotwitness/abnf/matcher.hpp>

#include <gtest/gtest.h>

#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::abnf {

/// The grammar of a text that is known to be one.
inline Grammar grammar_of(std::string_view text) {
    auto grammar = parse_grammar(text, "test");
    if (!grammar) {
        ADD_FAILURE() << to_text(grammar.error().front()) << " in:\n" << text;
        return {};
    }
    return *grammar;
}

/// Rules of a grammar with a scratch of their own.
struct Tried {
    Tried(std::string_view grammar, const std::vector<std::string>& rules,
          const std::vector<std::string>& captured = {})
        : matcher(Matcher::compile(grammar_of(grammar), rules, captured).value()) {}

    Match match(std::string_view text, Budget budget = {}) {
        return matcher.match(text, scratch, budget);
    }
    bool matches(std::string_view text) { return match(text).outcome == Outcome::matched; }
    /// "5: "up" or rule "duration"": the furthest place, from 0, and what was expected there.
    std::string expected(std::string_view text) {
        const Match found = match(text);
        return std::to_string(found.furthest) + ": " + matcher.expected(text, found, scratch);
    }
    /// The captured texts, "0=FAB3 1=12".
    std::string captures(std::string_view text) {
        std::string all;
        const Match found = match(text);
        if (found.outcome != Outcome::matched)
            return "no match";
        for (const Capture& capture : found.captures)
            all.append(all.empty() ? "" : " ")
                .append(std::to_string(capture.rule))
                .append("=")
                .append(text.substr(capture.begin, capture.end - capture.begin));
        return all;
    }

    Matcher matcher;
    Scratch scratch;
};

} // namespace slotwitness::abnf
