#include "helpers.hpp"
#include "reference.hpp"

#include <array>
#include <cstdlib>
#include <random>

namespace slotwitness::abnf {
namespace {

/// Small grammars over the octets a and b, written as a person would.
class Dice {
  public:
    explicit Dice(unsigned seed) : engine_(seed) {}

    std::size_t below(std::size_t bound) {
        return std::uniform_int_distribution<std::size_t>{0, bound - 1}(engine_);
    }

    std::string grammar() {
        std::string text;
        for (const char* name : rules)
            text.append(name).append(" = ").append(alternation(2)).append("\n");
        return text;
    }

    std::string subject() {
        std::string text;
        for (std::size_t size = below(8); size > 0; --size)
            text += "ab"[below(2)];
        return text;
    }

    static constexpr std::array<const char*, 3> rules{"top", "mid", "low"};

  private:
    std::string alternation(std::size_t depth) {
        std::string text = concatenation(depth);
        for (std::size_t more = below(3); more > 0; --more)
            text += " / " + concatenation(depth);
        return text;
    }

    std::string concatenation(std::size_t depth) {
        std::string text = repetition(depth);
        for (std::size_t more = below(3); more > 0; --more)
            text += " " + repetition(depth);
        return text;
    }

    std::string repetition(std::size_t depth) {
        static constexpr std::array<const char*, 12> signs{"",  "",   "",    "",  "*",   "1*",
                                                           "2", "*2", "1*2", "0", "2*3", "2*"};
        return signs[below(signs.size())] + element(depth);
    }

    std::string element(std::size_t depth) {
        static constexpr std::array<const char*, 10> texts{
            "\"a\"",  "\"b\"",   "\"A\"", "%s\"a\"", "%x61-62",
            "\"ab\"", "%x62.61", "\"\"",  "\"bA\"",  "%x62"};
        switch (below(depth == 0 ? 2 : 6)) {
        case 2:
            return "(" + alternation(depth - 1) + ")";
        case 3:
            return "[" + alternation(depth - 1) + "]";
        case 4:
            return rules[below(rules.size())];
        default:
            return texts[below(texts.size())];
        }
    }

    std::mt19937 engine_;
};

std::size_t how_many_comparisons() {
    if (std::getenv("SLOTWITNESS_LONG") != nullptr)
        return 1'000'000;
#ifdef __SANITIZE_ADDRESS__
    return 2'000; // instrumented, it is the memory that is looked at
#else
    return 20'000;
#endif
}

TEST(Agreement, of_the_matcher_with_two_slow_readers_of_random_grammars) {
    const std::size_t wanted = how_many_comparisons();
    std::size_t compared = 0;
    std::size_t matched = 0;
    std::size_t captured = 0;
    std::size_t too_much = 0;
    Scratch scratch;
    for (unsigned seed = 1; compared < wanted; ++seed) {
        Dice dice{seed};
        const std::string text = dice.grammar();
        const auto grammar = parse_grammar(text, "drawn");
        if (!grammar) {
            // The only thing that can be wrong with them.
            ASSERT_EQ(grammar.error().front().expected, "a rule that does not begin with itself")
                << text;
            continue;
        }
        // What is captured changes which rules are melted into classes of octets.
        static const std::vector<std::vector<std::string>> captures{
            {"top", "mid", "low"}, {"low"}, {}};
        const std::vector<std::string>& names = captures[seed % 3];
        const std::size_t top = grammar->find("top").value();
        const auto matcher = Matcher::compile(*grammar, std::vector<std::string>{"top"}, names);
        ASSERT_TRUE(matcher) << text;
        for (int subjects = 0; subjects < 6; ++subjects) {
            const std::string subject = dice.subject();
            const auto first = reference::first_reading(*grammar, top, subject, names);
            const Match match = matcher->match(subject, scratch, {20'000, 1000});
            if (!first || is_spent(match.outcome)) {
                ++too_much;
                continue;
            }
            const bool is_match = match.outcome == Outcome::matched;
            ASSERT_EQ(is_match, reference::ends(*grammar, top, subject, 0).contains(subject.size()))
                << "seed " << seed << ", \"" << subject << "\" as top of:\n"
                << text;
            ASSERT_EQ(is_match, first->matched) << "seed " << seed;
            if (is_match) {
                ++matched;
                captured += first->captures.size();
                ASSERT_EQ(std::vector<Capture>(match.captures.begin(), match.captures.end()),
                          first->captures)
                    << "seed " << seed << ", \"" << subject << "\" as top of:\n"
                    << text;
            } else {
                ASSERT_EQ(match.furthest, first->furthest)
                    << "seed " << seed << ", \"" << subject << "\" as top of:\n"
                    << text;
                ASSERT_NE(matcher->expected(subject, match, scratch), "")
                    << "seed " << seed << ", \"" << subject << "\" as top of:\n"
                    << text;
            }
            ++compared;
        }
    }
    // The draw is worth something only if all of it happens.
    EXPECT_GT(matched, compared / 20);
    EXPECT_GT(captured, compared / 20);
    EXPECT_LT(too_much, compared / 20);
    RecordProperty("matched", std::to_string(matched));
    RecordProperty("too_much", std::to_string(too_much));
}

} // namespace
} // namespace slotwitness::abnf
