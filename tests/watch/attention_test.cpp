#include <slotwitness/watch/attention.hpp>

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

namespace slotwitness::watch {
namespace {

using namespace std::chrono_literals;
using units::Duration;
using units::Instant;

const Pace pace{Duration(2'000), Duration(60'000)};
const std::vector<std::string> idle{"chassis", "planes"};
const std::vector<std::string> planes{"planes"};

Instant at(Duration time) {
    return Instant(time);
}

Plan unbounded(std::optional<Instant> last_start, Instant now,
               const std::vector<std::string>& wanted) {
    return next_round(pace, Spending(Budget{}), last_start, now, {wanted, idle});
}

TEST(NextRound, the_first_one_starts_at_once) {
    const Plan plan = unbounded(std::nullopt, at(500ms), {});
    EXPECT_EQ(plan.start, at(500ms));
    EXPECT_EQ(plan.askings, idle);
}

TEST(NextRound, an_idle_chassis_is_looked_at_seldom_and_whole) {
    EXPECT_EQ(unbounded(at(1s), at(1'300ms), {}).start, at(61s));
}

TEST(NextRound, a_gate_that_waits_is_looked_at_often_and_only_where_it_needs) {
    const Plan plan = unbounded(at(1s), at(1'300ms), planes);
    EXPECT_EQ(plan.start, at(3s));
    EXPECT_EQ(plan.askings, planes);
}

TEST(NextRound, a_round_that_took_longer_than_the_interval_is_followed_at_its_end) {
    EXPECT_EQ(unbounded(at(1s), at(9s), planes).start, at(9s));
}

/// A budget of which so many queries were asked at the beginning.
Spending spent(std::size_t most, std::size_t queries) {
    Spending spending(Budget{most, {}});
    for (std::size_t i = 0; i < queries; ++i)
        spending.spend(at(0s));
    return spending;
}

TEST(NextRound, within_its_budget_comes_at_its_pace) {
    const Plan plan = next_round(pace, spent(100, 50), at(1s), at(1s), {planes, idle});
    EXPECT_EQ(plan.start, at(3s));
    EXPECT_FALSE(plan.held_up);
}

TEST(NextRound, beyond_half_of_the_budget_waits_for_its_share_of_the_hour) {
    const Plan plan = next_round(pace, spent(100, 60), at(1s), at(1s), {planes, idle});
    EXPECT_EQ(plan.start, at(46s));
    EXPECT_TRUE(plan.held_up);
}

TEST(NextRound, without_room_waits_until_there_is_some) {
    const Plan plan = next_round(pace, spent(100, 100), at(1s), at(1s), {planes, idle});
    EXPECT_EQ(plan.start, at(61min));
    EXPECT_TRUE(plan.held_up);
}

TEST(NextRound, of_an_idle_chassis_leaves_half_of_the_budget_to_who_opens_a_gate) {
    EXPECT_FALSE(next_round(pace, spent(100, 48), at(1s), at(1s), {{}, idle}).held_up);
    const Plan plan = next_round(pace, spent(100, 49), at(1s), at(1s), {{}, idle});
    EXPECT_EQ(plan.start, at(61min));
    EXPECT_TRUE(plan.held_up);
}

TEST(NextRound, has_room_for_what_connecting_asks_too) {
    EXPECT_FALSE(next_round(pace, spent(4, 0), std::nullopt, at(1s), {planes, idle, 3}).held_up);
    EXPECT_TRUE(next_round(pace, spent(4, 1), std::nullopt, at(1s), {planes, idle, 3}).held_up);
}

TEST(NextRound, that_is_larger_than_the_budget_never_comes) {
    const Spending spending = spent(4, 0);
    for (Instant now = at(0s); now < at(10h); now += 1h)
        EXPECT_GT(next_round(pace, spending, std::nullopt, now, {planes, idle, 4}).start, now);
}

/// A day of a chassis at the mercy of a seed: sessions lost, gates opened and closed, looks that
/// take long, a budget of any size that the configuration takes.
struct Day {
    std::size_t most = 0;
    std::vector<Instant> asked;
    Duration longest_wait_of_work{0};
};
Day day_of(std::uint32_t seed) {
    std::mt19937 random(seed);
    const auto up_to = [&random](std::uint32_t most) { return random() % (most + 1); };
    Day day;
    day.most = least_budget(idle.size(), 2) + up_to(400);
    Spending spending(Budget{day.most, {}});
    std::optional<Instant> last_start;
    Instant now = at(0s);
    while (now < at(24h)) {
        const bool works = up_to(2) > 0;
        const std::size_t entrance = up_to(3) == 0 ? 2 : 0;
        const Plan plan = next_round(pace, spending, last_start, now,
                                     {works ? planes : std::vector<std::string>{}, idle, entrance});
        EXPECT_GE(plan.start, now);
        if (works)
            day.longest_wait_of_work = std::max(day.longest_wait_of_work, plan.start - now);
        // Somebody may change their mind while the look waits; then it is planned anew.
        const Duration change((1 + up_to(1'000)) * (1 + up_to(1'000)));
        if (plan.start > now + change) {
            now += change;
            continue;
        }
        last_start = now = plan.start;
        for (std::size_t i = 0; i < plan.askings.size() + entrance; ++i) {
            now += Duration(up_to(1'000));
            spending.spend(now);
            day.asked.push_back(now);
        }
    }
    return day;
}

TEST(NextRound, never_exceeds_the_budget_in_any_hour_and_never_lets_a_gate_starve) {
    for (std::uint32_t seed = 0; seed < 100; ++seed) {
        SCOPED_TRACE(seed);
        const Day day = day_of(seed);
        ASSERT_GT(day.asked.size(), day.most);
        for (std::size_t i = day.most; i < day.asked.size(); ++i)
            ASSERT_GE(day.asked[i] - day.asked[i - day.most], Duration(1h));
        ASSERT_LE(day.longest_wait_of_work, Duration(61min));
    }
}

/// Who waits for a gate all day is looked at all day, if more seldom.
TEST(NextRound, spreads_a_budget_that_is_far_too_small_over_the_hour) {
    constexpr std::size_t most = 200; // at its pace it would be spent within 7 minutes
    Spending spending(Budget{most, {}});
    std::optional<Instant> last_start;
    Instant now = at(0s);
    std::size_t looks = 0;
    for (; now < at(24h); ++looks) {
        const Plan plan = next_round(pace, spending, last_start, now, {planes, idle});
        ASSERT_LE(plan.start - now, 3min);
        last_start = now = plan.start;
        spending.spend(now);
    }
    EXPECT_GT(looks, 24 * most * 6 / 10); // and most of it is used
}

TEST(Price, is_what_the_pace_makes_and_never_more_than_the_budget) {
    const Price free = price(pace, 2, Budget{});
    EXPECT_EQ(free.pending, 3'600U);
    EXPECT_EQ(free.idle, 120U);
    const Price bound = price(pace, 2, Budget{100, {}});
    EXPECT_EQ(bound.pending, 100U);
    EXPECT_EQ(bound.idle, 50U);
}

TEST(LastingInterval, is_about_what_a_budget_that_is_too_small_comes_to) {
    EXPECT_EQ(lasting_interval(pace, 1, Budget{}), pace.pending);
    EXPECT_EQ(lasting_interval(pace, 1, Budget{100'000, {}}), pace.pending);
    EXPECT_EQ(lasting_interval(pace, 1, Budget{200, {}}),
              Duration(27s)); // as spread above: 133 an hour
}

TEST(DefaultGap, it_is_three_pending_intervals_and_the_query_time_out) {
    EXPECT_EQ(default_gap(pace, Duration(15'000)), Duration(21'000));
}

} // namespace
} // namespace slotwitness::watch
