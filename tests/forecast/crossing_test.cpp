#include "traces.hpp"

#include <gtest/gtest.h>

#include <limits>

namespace slotwitness::forecast {
namespace {

Belief belief_after(int looks) {
    return fit(exact_looks(warming, looks, 2), {.step = 0.1, .noise = 0.1}).value().belief;
}

Within within(const Belief& belief, double limit, double horizon = 3'600) {
    return std::get<Within>(crossing(belief, limit, after(horizon)).value());
}

TEST(Crossing, lies_about_the_true_time) {
    const Within said = within(belief_after(60), 55);
    EXPECT_NEAR(seconds(said.median), warming.reaches(55), 2);
    EXPECT_LT(seconds(said.early_edge), warming.reaches(55));
    EXPECT_GT(seconds(said.early_edge), 0.9 * warming.reaches(55));
    EXPECT_GT(said.probability, 0.99);
}

TEST(Crossing, is_later_for_a_higher_limit) {
    const Belief belief = belief_after(60);
    units::Instant before = after(0);
    for (double limit = 45; limit < 65; limit += 0.5) {
        const auto said = crossing(belief, limit, after(3'600)).value();
        const auto* reached = std::get_if<Within>(&said);
        if (!reached)
            break;
        EXPECT_GT(reached->early_edge, before) << limit;
        EXPECT_LE(reached->early_edge, reached->median) << limit;
        before = reached->early_edge;
    }
    EXPECT_GT(before, after(warming.reaches(59)) - units::Duration(60'000));
}

TEST(Crossing, sharpens_with_more_looks) {
    const Within few = within(belief_after(30), 55);
    const Within many = within(belief_after(90), 55);
    EXPECT_LT(few.early_edge, many.early_edge);
}

TEST(Crossing, of_a_limit_that_was_passed_is_not_in_the_future) {
    const Belief belief = belief_after(60);
    EXPECT_LT(within(belief, 40).median, belief.last);
    EXPECT_LE(within(belief, 20).early_edge, belief.first);
}

TEST(Crossing, well_above_where_it_settles_is_not_within_the_horizon) {
    const auto said = crossing(belief_after(150), 70, after(3'600)).value();
    ASSERT_TRUE(std::holds_alternative<NotWithinHorizon>(said));
    EXPECT_EQ(std::get<NotWithinHorizon>(said).horizon, after(3'600));
}

// A little above, the looks cannot exclude it: then there is an edge, with its probability.
TEST(Crossing, just_above_where_it_settles_has_an_edge) {
    const Within said = within(belief_after(60), 60.2);
    EXPECT_LT(said.probability, 0.6);
    EXPECT_GT(said.probability, 0.01);
}

TEST(Crossing, is_earlier_by_the_age_that_looks_may_have) {
    Belief belief = belief_after(60);
    const Within fresh = within(belief, 55);
    belief.age = units::Duration(7'000);
    const Within old = within(belief, 55);
    EXPECT_EQ(old.early_edge, fresh.early_edge - units::Duration(7'000));
    EXPECT_EQ(old.median, fresh.median);
}

TEST(Crossing, of_what_cannot_be_is_refused) {
    const Belief belief = belief_after(60);
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const double infinite = std::numeric_limits<double>::infinity();
    for (const double limit : {nan, infinite, -infinite, 1'000.0})
        EXPECT_EQ(crossing(belief, limit, after(3'600)).error().why, Why::absurd) << limit;
    EXPECT_EQ(crossing(belief, 55, after(1)).error().why, Why::absurd);
    EXPECT_EQ(crossing(belief, 55, units::Instant::max()).error().why, Why::absurd);
    EXPECT_EQ(crossing(Belief{}, 55, after(3'600)).error().why, Why::absurd);
}

} // namespace
} // namespace slotwitness::forecast
