#include <slotwitness/forecast/band.hpp>

#include <gtest/gtest.h>

#include <cmath>

// The board is invented: it warms from 40 C towards 90 C with a time constant of 60 s.
namespace slotwitness::forecast {
namespace {

using namespace std::chrono_literals;

constexpr units::Instant start{1'000'000ms};

double course_at(units::Duration time) {
    return 90 - 50 * std::exp(-std::chrono::duration<double>(time).count() / 60);
}

Belief belief_until(units::Duration last) {
    std::vector<Look> looks;
    for (units::Duration time = 0s; time <= last; time += 2s)
        looks.push_back({start + time, start + time, std::round(course_at(time) * 10) / 10});
    const auto fitted = fit(looks, {.step = 0.1});
    EXPECT_TRUE(fitted);
    return fitted ? fitted->belief : Belief{};
}

TEST(band, goes_from_the_last_look_to_the_horizon_and_widens) {
    const Band shown = band(belief_until(60s), start + 120s);
    ASSERT_GT(shown.size(), 2U);
    EXPECT_EQ(shown.front().at, start + 60s);
    EXPECT_EQ(shown.back().at, start + 120s);
    for (const BandPoint& point : shown) {
        EXPECT_LE(point.low, point.middle);
        EXPECT_LE(point.middle, point.high);
    }
    EXPECT_GT(shown.back().high - shown.back().low, shown.front().high - shown.front().low);
}

TEST(band, holds_the_course_that_the_looks_follow) {
    for (const BandPoint& point : band(belief_until(60s), start + 120s))
        EXPECT_NEAR(point.middle, course_at(point.at - start), 1);
}

TEST(band, agrees_with_the_instant_at_which_a_limit_is_crossed) {
    const Belief belief = belief_until(60s);
    constexpr double limit = 80;
    const auto crossed = crossing(belief, limit, start + 120s);
    ASSERT_TRUE(crossed);
    const auto& within = std::get<Within>(*crossed);
    for (const BandPoint& point : band(belief, start + 120s)) {
        if (point.at < within.early_edge + belief.age - 3s) {
            EXPECT_LT(point.high, limit);
        }
        if (point.at > within.median + 3s) {
            EXPECT_GT(point.middle, limit);
        }
    }
}

TEST(band, says_nothing_without_a_belief_or_beyond_no_horizon) {
    EXPECT_TRUE(band({}, start + 120s).empty());
    EXPECT_TRUE(band(belief_until(60s), start + 60s).empty());
}

} // namespace
} // namespace slotwitness::forecast
