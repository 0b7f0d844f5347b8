#include "helpers.hpp"

namespace slotwitness::abnf {
namespace {

std::string many(std::size_t count, const std::string& text) {
    std::string all;
    for (; count > 0; --count)
        all += text;
    return all;
}

TEST(Budget, ends_readings_that_are_too_many) {
    const std::string text = many(64, "a") + "c";
    for (const char* grammar :
         {"r = *(*\"a\") \"b\"", "r = *(1*\"a\") \"b\"", "r = *(\"a\" / \"aa\") \"b\"",
          "r = 1*x \"b\"\nx = 1*y\ny = *\"a\" *\"a\""}) {
        Tried r{grammar, {"r"}};
        const Match match = r.match(text);
        EXPECT_TRUE(match.outcome == Outcome::out_of_steps) << grammar;
        EXPECT_EQ(match.steps, Budget{}.steps + 1) << grammar;
        EXPECT_EQ(r.matcher.expected(text, match, r.scratch),
                  "a simpler grammar: this one has too many ways to read this text");
    }
}

TEST(Budget, is_the_callers) {
    Tried r{"r = *(\"a\" / \"b\" \"c\")", {"r"}};
    const std::uint64_t needed = r.match("abc").steps;
    EXPECT_EQ(r.match("abc", {needed, 10}).outcome, Outcome::matched);
    EXPECT_EQ(r.match("abc", {needed - 1, 10}).outcome, Outcome::out_of_steps);
}

TEST(Budget, counts_octets_that_are_looked_over_again_and_again) {
    Tried r{"r = *OCTET *OCTET *OCTET \"b\" ", {"r"}};
    EXPECT_EQ(r.match(many(100, "a")).outcome, Outcome::not_matched);
    EXPECT_EQ(r.match(many(20'000, "b") + "a").outcome, Outcome::out_of_steps);
}

TEST(Budget, ends_rules_that_nest_too_deep) {
    Tried tree{"tree = \"(\" [tree] \")\"", {"tree"}};
    const auto nested = [](std::size_t depth) { return many(depth, "(") + many(depth, ")"); };
    EXPECT_EQ(tree.match(nested(1000)).outcome, Outcome::matched);
    const Match match = tree.match(nested(1001));
    EXPECT_EQ(match.outcome, Outcome::out_of_depth);
    EXPECT_EQ(tree.matcher.expected(nested(1001), match, tree.scratch),
              "a simpler grammar: this one nests its rules too deep in this text");
    EXPECT_EQ(tree.match(nested(1'000'000)).outcome, Outcome::out_of_depth);
    EXPECT_EQ(tree.match(nested(5), {1000, 5}).outcome, Outcome::matched);
    EXPECT_EQ(tree.match(nested(6), {1000, 5}).outcome, Outcome::out_of_depth);
    // A counted repetition is a level as well.
    Tried counted{"r = 2(2(2\"ab\"))", {"r"}};
    EXPECT_EQ(counted.match(many(8, "ab"), {1000, 3 + 1}).outcome, Outcome::matched);
    EXPECT_EQ(counted.match(many(8, "ab"), {1000, 3}).outcome, Outcome::out_of_depth);
}

TEST(Budget, ends_what_would_fill_memory) {
    // Each octet leaves a place to come back to.
    Tried places{"r = *(\"ab\" / \"a\" / \"abc\")", {"r"}};
    EXPECT_EQ(places.match(many(20'000, "ab")).outcome, Outcome::matched);
    EXPECT_EQ(places.match(many(most_marks + 1, "ab")).outcome, Outcome::out_of_room);
    // Each is captured.
    Tried captures{"r = *x\nx = \"a\" ", {"r"}, {"x"}};
    EXPECT_EQ(captures.match(many(most_marks / 2 - 1, "a")).captures.size(), most_marks / 2 - 1);
    EXPECT_EQ(captures.match(many(most_marks / 2, "a")).outcome, Outcome::out_of_room);
    EXPECT_EQ(captures.matcher.expected("", {Outcome::out_of_room, 0, {}, 0, 0}, captures.scratch),
              "a simpler grammar: this one keeps too many ways to read this text in mind");
    // Each rule that was entered and may be come back to.
    Tried rounds{"r = *65535(x x)\nx = \"ab\" / \"a\" / \"abc\"", {"r"}};
    EXPECT_EQ(rounds.match(many(60'000, "ab")).outcome, Outcome::out_of_room);
}

TEST(Budget, of_a_text_is_its_size) {
    Tried all{"r = *OCTET", {"r"}};
    std::string text(longest_text, 'a');
    EXPECT_EQ(all.match(text).outcome, Outcome::matched);
    text += 'a';
    EXPECT_EQ(all.match(text).outcome, Outcome::out_of_room);
}

TEST(Budget, is_kept_where_one_way_alone_can_be_right) {
    // Long lists in which the next octet decides leave nothing behind.
    Tried list{"r = *(word \",\") word\nword = 1*ALPHA", {"r"}};
    const std::string text = many(most_marks + 1, "ab,") + "ab";
    EXPECT_EQ(list.match(text).outcome, Outcome::out_of_room);
    Tried better{"r = word *(\",\" word)\nword = 1*ALPHA", {"r"}};
    EXPECT_EQ(better.match(text).outcome, Outcome::matched);
}

} // namespace
} // namespace slotwitness::abnf
