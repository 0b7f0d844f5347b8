#include <slotwitness/sentences/sentence.hpp>

#include <gtest/gtest.h>

namespace slotwitness::sentences {
namespace {

std::optional<state::Problem> later(std::string_view text) {
    const auto sentence = parse(text);
    EXPECT_TRUE(sentence) << (sentence ? "" : state::to_text(sentence.error()));
    return sentence ? not_evaluated_yet(*sentence) : std::nullopt;
}

TEST(not_evaluated_yet, says_nothing_of_what_this_version_judges) {
    for (const std::string_view text :
         {"plane 3 shut for 10 s within 5 min", "every plane except 3 up",
          "at most 1 module not operational", "no alarm at or above major",
          "sensor inlet below 45 C", "not (plane 3 up or plane 4 up) and module FAB3 present"})
        EXPECT_FALSE(later(text)) << text;
}

TEST(not_evaluated_yet, names_the_part_its_place_and_a_remedy) {
    const auto problem = later(
        "plane 4 up and not (capacity without plane 3 covers load with 20 % margin or plane 5 up)");
    ASSERT_TRUE(problem);
    EXPECT_EQ(problem->at, (state::Position{1, 21}));
    EXPECT_EQ(problem->found, "capacity without plane 3 covers load with 20 % margin");
    EXPECT_NE(problem->remedy.find("\"every plane except 3 up\""), std::string::npos);
}

TEST(not_evaluated_yet, names_every_comparison_with_what_was_seen_earlier) {
    for (const std::string_view text :
         {"no new alarm since baseline", "module FAB3 serial differs from baseline",
          "every module except FAB3 serial as in baseline", "every port up in baseline is up",
          "errors of plane 3 not rising"}) {
        const auto problem = later(text);
        ASSERT_TRUE(problem) << text;
        EXPECT_EQ(problem->found, text);
        EXPECT_EQ(problem->at, (state::Position{1, 1}));
        EXPECT_FALSE(problem->remedy.empty());
    }
}

} // namespace
} // namespace slotwitness::sentences
