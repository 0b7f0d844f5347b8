#include <slotwitness/watch/budget.hpp>

#include <gtest/gtest.h>

namespace slotwitness::watch {
namespace {

using namespace std::chrono_literals;
using units::Duration;
using units::Instant;

Instant since_start(Duration time) {
    return Instant(time);
}

Spending spent_at(std::size_t most, std::initializer_list<Duration> times) {
    Spending spending(Budget{most, {}});
    for (const Duration time : times)
        spending.spend(since_start(time));
    return spending;
}

TEST(Spending, a_query_counts_for_a_whole_hour_and_for_a_minute_more_at_most) {
    for (const Duration second : {0ms, 1ms, 59'999ms}) {
        const Spending spending = spent_at(10, {second});
        EXPECT_EQ(spending.spent(since_start(second + 1h)), 1U);
        EXPECT_EQ(spending.spent(since_start(second + 1h + 1min)), 0U);
    }
}

TEST(Spending, there_is_room_at_once_until_the_most_is_reached) {
    const Spending spending = spent_at(4, {0s, 1s});
    EXPECT_EQ(spending.room_for(2, 4, since_start(2s)), since_start(2s));
    EXPECT_EQ(spending.room_for(3, 4, since_start(2s)), since_start(61min));
}

TEST(Spending, room_comes_back_by_as_many_as_are_needed) {
    const Spending spending = spent_at(3, {0s, 10min, 20min});
    EXPECT_EQ(spending.room_for(1, 3, since_start(30min)), since_start(61min));
    EXPECT_EQ(spending.room_for(2, 3, since_start(30min)), since_start(71min));
    EXPECT_EQ(spending.room_for(3, 3, since_start(30min)), since_start(81min));
    EXPECT_EQ(spending.room_for(1, 3, since_start(2h)), since_start(2h));
}

TEST(Spending, there_is_never_room_for_more_than_the_most) {
    EXPECT_EQ(spent_at(3, {}).room_for(4, 3, since_start(0s)), std::nullopt);
}

TEST(Spending, a_clock_that_runs_backwards_gives_nothing_back) {
    const Spending spending = spent_at(2, {10min, 1min});
    EXPECT_EQ(spending.room_for(1, 2, since_start(11min)), since_start(71min));
}

} // namespace
} // namespace slotwitness::watch
