#include "traces.hpp"

#include <slotwitness/forecast/segment.hpp>

#include <gtest/gtest.h>

#include <limits>

namespace slotwitness::forecast {
namespace {

TEST(Segment, fits_the_looks_that_it_took) {
    Segment segment({}, after(0));
    EXPECT_EQ(segment.fit().error().why, Why::too_few_looks);
    for (const Look& look : exact_looks(warming, 40, 5))
        ASSERT_TRUE(segment.take(look));
    EXPECT_EQ(segment.looks().size(), 40U);
    EXPECT_NEAR(segment.fit().value().time_constant, 100, 1e-3);
}

TEST(Segment, forgets_what_was_before_a_change) {
    Segment segment({}, after(0));
    for (const Look& look : exact_looks(warming, 40, 5))
        ASSERT_TRUE(segment.take(look));
    segment.begin_anew(after(200));
    EXPECT_TRUE(segment.looks().empty());
    EXPECT_EQ(segment.fit().error().why, Why::too_few_looks);
    const Truth second{56, 85, 40};
    for (int n = 0; n < 20; ++n)
        ASSERT_TRUE(segment.take(exact(200 + 5 * n, second.celsius(5 * n))));
    EXPECT_NEAR(segment.fit().value().time_constant, 40, 1e-3);
    EXPECT_NEAR(segment.fit().value().settles_celsius, 85, 1e-3);
}

TEST(Segment, refuses_a_look_that_may_be_older_than_the_change) {
    Segment segment({}, after(100));
    const auto taken = segment.take({after(99.999), after(101), 40});
    ASSERT_FALSE(taken);
    EXPECT_EQ(taken.error().why, Why::absurd);
    EXPECT_TRUE(segment.looks().empty());
    EXPECT_TRUE(segment.take({after(100), after(101), 40}));
}

TEST(Segment, refuses_a_look_that_cannot_be_and_keeps_the_others) {
    Segment segment({}, after(0));
    ASSERT_TRUE(segment.take(exact(10, 40)));
    EXPECT_FALSE(segment.take(exact(11, std::numeric_limits<double>::quiet_NaN())));
    EXPECT_FALSE(segment.take(exact(9, 41)));
    EXPECT_FALSE(segment.take({after(12), after(11), 41}));
    EXPECT_EQ(segment.looks().size(), 1U);
    EXPECT_TRUE(segment.take(exact(10, 40))) << "the same time again is no error";
}

} // namespace
} // namespace slotwitness::forecast
