#include <slotwitness/watch/attention.hpp>

#include <gtest/gtest.h>

namespace slotwitness::watch {
namespace {

using units::Duration;
using units::Instant;

const Pace pace{Duration(2'000), Duration(60'000)};
const std::vector<std::string> idle{"chassis", "planes"};

Instant at(std::int64_t ms) {
    return Instant(Duration(ms));
}

TEST(NextRound, the_first_one_starts_at_once) {
    const Plan plan = next_round(pace, std::nullopt, at(500), {}, idle);
    EXPECT_EQ(plan.start, at(500));
    EXPECT_EQ(plan.askings, idle);
}

TEST(NextRound, an_idle_chassis_is_looked_at_seldom_and_whole) {
    EXPECT_EQ(next_round(pace, at(1'000), at(1'300), {}, idle).start, at(61'000));
}

TEST(NextRound, a_gate_that_waits_is_looked_at_often_and_only_where_it_needs) {
    const Plan plan = next_round(pace, at(1'000), at(1'300), {"planes"}, idle);
    EXPECT_EQ(plan.start, at(3'000));
    EXPECT_EQ(plan.askings, std::vector<std::string>{"planes"});
}

TEST(NextRound, a_round_that_took_longer_than_the_interval_is_followed_at_its_end) {
    EXPECT_EQ(next_round(pace, at(1'000), at(9'000), {"planes"}, idle).start, at(9'000));
}

TEST(DefaultGap, it_is_three_pending_intervals_and_the_query_time_out) {
    EXPECT_EQ(default_gap(pace, Duration(15'000)), Duration(21'000));
}

} // namespace
} // namespace slotwitness::watch
