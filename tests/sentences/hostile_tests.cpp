#include "accepted.hpp"

#include <slotwitness/sentences/sentence.hpp>

#include <gtest/gtest.h>
#include <rapidcheck.h>

/// Whatever comes in, a sentence or a problem with a place inside the text comes out.
namespace slotwitness::sentences {
namespace {

bool is_read_or_placed(std::string_view text) {
    const auto sentence = parse(text);
    if (sentence)
        return parse(to_text(*sentence)) == *sentence;
    const state::Problem& problem = sentence.error();
    return problem.at.line == 1 && problem.at.column >= 1 && problem.at.column <= text.size() + 1 &&
           !problem.found.empty() && !problem.expected.empty() && !problem.remedy.empty();
}

std::string nested(std::size_t depth) {
    return std::string(depth, '(') + "plane 3 up" + std::string(depth, ')');
}

TEST(parse, reads_or_places_every_prefix_of_every_sentence) {
    for (const Accepted& row : accepted)
        for (std::size_t size = 0; size <= row.text.size(); ++size)
            EXPECT_TRUE(is_read_or_placed(row.text.substr(0, size))) << row.text.substr(0, size);
}

TEST(parse, reads_or_places_every_sentence_with_any_one_byte_changed) {
    for (const Accepted& row : accepted)
        for (std::size_t at = 0; at < row.text.size(); ++at)
            for (int byte = 0; byte < 256; byte += 3) {
                std::string text{row.text};
                text[at] = static_cast<char>(byte);
                ASSERT_TRUE(is_read_or_placed(text)) << row.text << " at " << at << ": " << byte;
            }
}

TEST(parse, reads_or_places_random_bytes) {
    EXPECT_TRUE(rc::check([](const std::string& text) { RC_ASSERT(is_read_or_placed(text)); }));
}

TEST(parse, reads_or_places_random_words_of_the_language) {
    EXPECT_TRUE(rc::check([] {
        static const std::vector<std::string> words{
            "plane",  "module", "sensor",   "alarm",   "every",    "at",    "most",   "least",
            "no",     "not",    "and",      "or",      "(",        ")",     "for",    "within",
            "10",     "s",      "5 min",    "3",       "FAB3",     "\"",    "\\",     "\"x y\"",
            "up",     "shut",   "admin",    "locked",  "below",    "45 C",  "except", ",",
            "served", "by",     "capacity", "without", "covers",   "load",  "with",   "20 %",
            "margin", "serial", "differs",  "from",    "baseline", "in",    "is",     "as",
            "errors", "of",     "rising",   "new",     "since",    "above", "major"};
        std::string text;
        for (const auto& word :
             *rc::gen::container<std::vector<std::string>>(rc::gen::elementOf(words)))
            text += word + " ";
        RC_ASSERT(is_read_or_placed(text));
    }));
}

TEST(parse, reads_the_deepest_nesting_and_refuses_one_more_at_its_place) {
    const auto deepest = parse(nested(deepest_nesting));
    ASSERT_TRUE(deepest) << state::to_text(deepest.error());
    EXPECT_EQ(to_text(*deepest), "plane 3 up");
    const auto deeper = parse(nested(deepest_nesting + 1));
    ASSERT_FALSE(deeper);
    EXPECT_EQ(deeper.error().at.column, deepest_nesting + 2);
    EXPECT_EQ(deeper.error().expected, "at most 16 nested \"not\" and parentheses");
}

TEST(parse, counts_not_as_nesting) {
    const auto nots = [](std::size_t count) {
        std::string text;
        for (std::size_t i = 0; i < count; ++i)
            text += "not ";
        return text + "plane 3 up";
    };
    EXPECT_TRUE(parse(nots(deepest_nesting)));
    const auto deeper = parse(nots(deepest_nesting + 1));
    ASSERT_FALSE(deeper);
    EXPECT_EQ(deeper.error().at.column, (deepest_nesting + 1) * 4 + 1);
    EXPECT_FALSE(parse("not " + nested(deepest_nesting)));
}

TEST(parse, counts_nesting_anew_behind_a_closed_parenthesis) {
    EXPECT_TRUE(parse(nested(deepest_nesting) + " and " + nested(deepest_nesting)));
}

TEST(parse, refuses_two_million_parentheses_by_length) {
    const auto sentence = parse(nested(2'000'000));
    ASSERT_FALSE(sentence);
    EXPECT_EQ(sentence.error().at.column, longest_sentence + 1);
    EXPECT_EQ(sentence.error().found, "a sentence of 4000010 bytes");
}

TEST(parse, reads_the_longest_sentence_and_refuses_one_byte_more) {
    const std::string start = "module ";
    const std::string end = " up";
    const std::string name(longest_sentence - start.size() - end.size(), 'x');
    EXPECT_TRUE(parse(start + name + end));
    const auto longer = parse(start + name + "x" + end);
    ASSERT_FALSE(longer);
    EXPECT_EQ(longer.error().at.column, longest_sentence + 1);
    EXPECT_EQ(longer.error().expected, "at most 512 bytes");
}

TEST(parse, refuses_a_sentence_whose_canonical_text_is_too_long) {
    std::string text = "every plane except 1";
    while (text.size() + 5 <= longest_sentence)
        text += ",1";
    const auto sentence = parse(text + " up");
    ASSERT_FALSE(sentence);
    EXPECT_EQ(sentence.error().at.column, 1U);
    EXPECT_EQ(sentence.error().expected, "a sentence of at most 512 bytes in its canonical text");
}

} // namespace
} // namespace slotwitness::sentences
