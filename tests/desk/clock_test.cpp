#include <slotwitness/desk/clock.hpp>

#include <gtest/gtest.h>

namespace slotwitness::desk {
namespace {

using units::Duration;
using units::Instant;

const MachineTime first{"boot-a", 5'000, 1'000'000, true};

Instant instant(std::int64_t ms) {
    return Instant(Duration(ms));
}

witness::RunStarted first_run() {
    return begin_run(std::nullopt, Instant{}, first);
}

std::int64_t now_in(const witness::RunStarted& run) {
    return run.boottime_ms + run.offset_ms;
}

TEST(BeginRun, the_first_run_shows_the_wall_clock) {
    EXPECT_EQ(now_in(first_run()), 1'000'000);
    EXPECT_TRUE(first_run().elapsed_known);
}

TEST(BeginRun, within_one_boot_a_step_of_the_wall_clock_moves_nothing) {
    const MachineTime later{"boot-a", 65'000, 400, false};
    const auto run = begin_run(first_run(), instant(1'010'000), later);
    EXPECT_EQ(now_in(run), 1'060'000);
    EXPECT_TRUE(run.elapsed_known);
}

TEST(BeginRun, after_another_boot_the_wall_clocks_difference_counts) {
    const MachineTime later{"boot-b", 7'000, 1'300'000, true};
    const auto run = begin_run(first_run(), instant(1'010'000), later);
    EXPECT_EQ(now_in(run), 1'300'000);
    EXPECT_TRUE(run.elapsed_known);
}

TEST(BeginRun, a_wall_clock_that_stepped_back_leaves_the_time_between_unknown) {
    const MachineTime later{"boot-b", 7'000, 900'000, true};
    const auto run = begin_run(first_run(), instant(1'010'000), later);
    EXPECT_FALSE(run.elapsed_known);
    EXPECT_EQ(now_in(run), 1'010'000) << "the time line never runs backwards";
}

TEST(BeginRun, a_wall_clock_behind_the_last_entry_leaves_the_time_between_unknown) {
    const MachineTime later{"boot-b", 7'000, 1'005'000, true};
    EXPECT_FALSE(begin_run(first_run(), instant(1'010'000), later).elapsed_known);
}

TEST(BeginRun, an_unsynchronised_wall_clock_leaves_the_time_between_unknown) {
    const MachineTime later{"boot-b", 7'000, 1'300'000, false};
    EXPECT_FALSE(begin_run(first_run(), instant(1'010'000), later).elapsed_known);
    MachineTime unsynchronised = first;
    unsynchronised.wall_synchronised = false;
    const auto run = begin_run(std::nullopt, Instant{}, unsynchronised);
    const MachineTime synchronised{"boot-b", 7'000, 1'300'000, true};
    EXPECT_FALSE(begin_run(run, instant(1'010'000), synchronised).elapsed_known);
}

TEST(BeginRun, an_unknown_boot_is_never_the_same_boot) {
    MachineTime nameless = first;
    nameless.boot_id.clear();
    nameless.wall_synchronised = false;
    const auto run = begin_run(std::nullopt, Instant{}, nameless);
    EXPECT_FALSE(begin_run(run, instant(1'000'000), nameless).elapsed_known);
}

TEST(MachineClockTest, the_earlier_bound_is_never_after_the_later_one) {
    const MachineClock clock(0);
    for (int i = 0; i < 1000; ++i) {
        const Instant earlier = clock.now_at_the_latest();
        EXPECT_LE(earlier, clock.now());
    }
}

} // namespace
} // namespace slotwitness::desk
