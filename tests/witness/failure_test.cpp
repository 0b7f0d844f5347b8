#include "world.hpp"

#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

GateFinding failed(World& world, std::int64_t when) {
    world.tick(when);
    GateFinding gate = world.gate();
    EXPECT_EQ(gate.verdict, Verdict::fail);
    return gate;
}

TEST(failure, is_seen_false_when_every_look_was_false) {
    World world = opened("plane 3 shut within 10 s");
    world.look(2'000, 2'100, up);
    world.look(8'000, 8'100, up);
    EXPECT_EQ(failed(world, 10'001).failure, Failure::seen_false);
}

TEST(failure, is_not_seen_when_one_unknown_look_would_have_met_it) {
    World world = opened("plane 3 shut within 10 s");
    world.look(2'000, 2'100, up);
    world.look(4'000, 4'100, unclear);
    world.look(8'000, 8'100, up);
    EXPECT_EQ(failed(world, 10'001).failure, Failure::not_seen);
}

TEST(failure, is_not_seen_when_one_missed_look_would_have_met_it) {
    World world = opened("plane 3 shut within 10 s");
    world.look(2'000, 2'100, up);
    world.silence(4'000, 4'100);
    world.look(8'000, 8'100, up);
    EXPECT_EQ(failed(world, 10'001).failure, Failure::not_seen);
}

TEST(failure, is_seen_false_when_the_unknown_look_came_too_late) {
    World world = opened("plane 3 shut within 10 s");
    world.look(2'000, 2'100, up);
    world.begin(9'900);
    world.answer(10'001, 9'900, unclear);
    EXPECT_EQ(world.gate().failure, Failure::seen_false);
}

TEST(failure, of_a_hold_is_not_seen_when_unknown_looks_would_have_carried_it) {
    World world = opened("plane 3 shut for 4 s within 10 s");
    world.look(1'000, 1'100, up);
    world.look(2'000, 2'100, shut);
    world.look(4'000, 4'100, unclear); // the run ends; the hopeful one goes on and is met at 6 100
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    world.look(5'000, 5'100, unclear);
    const GateFinding gate = failed(world, 6'001);
    EXPECT_EQ(gate.failure, Failure::not_seen) << "it still could, had the unknown looks been true";
}

TEST(failure, of_a_hold_is_seen_false_when_a_false_look_broke_it_for_good) {
    World world = opened("plane 3 shut for 4 s within 10 s");
    world.look(1'000, 1'100, unclear);
    world.look(5'200, 5'300, shut);
    world.look(5'900, 5'950, up); // the hopeful run had been met: 4.1 s
    EXPECT_EQ(failed(world, 6'001).failure, Failure::not_seen);

    World other = opened("plane 3 shut for 4 s within 10 s");
    other.look(1'000, 1'100, unclear);
    other.look(3'000, 3'100, shut);
    other.look(5'000, 5'050, up); // the hopeful run had not: 1.9 s
    other.look(5'900, 6'000, unclear);
    EXPECT_EQ(other.gate().verdict, Verdict::pending);
    EXPECT_EQ(failed(other, 6'001).failure, Failure::not_seen)
        << "a hopeful run began at 6 000, just in time";

    World third = opened("plane 3 shut for 4 s within 10 s");
    third.look(3'000, 3'100, shut);
    third.look(5'900, 6'000, up);
    EXPECT_EQ(failed(third, 6'001).failure, Failure::seen_false);
}

TEST(failure, takes_an_overdue_round_for_a_true_look_in_time) {
    World world = opened("plane 3 shut for 10 s within 20 s");
    world.look(1'000, 1'100, up);
    world.look(2'000, 2'100, shut);
    world.begin(4'000);
    world.tick(10'001); // overdue: the run ends, and none that begins now can be met
    const GateFinding gate = world.gate();
    EXPECT_EQ(gate.verdict, Verdict::fail);
    EXPECT_EQ(gate.decided, at(10'001));
    EXPECT_EQ(gate.failure, Failure::not_seen);
}

TEST(failure, is_not_seen_when_nothing_was_looked_at) {
    World world = opened("plane 3 shut within 10 s");
    EXPECT_EQ(failed(world, 10'001).failure, Failure::not_seen);
}

TEST(failure, is_not_seen_when_no_look_was_false_and_a_gap_broke_the_hold) {
    World world = opened("plane 3 shut for 20 s within 30 s");
    world.look(5'000, 5'100, shut);
    EXPECT_EQ(failed(world, 11'001).failure, Failure::not_seen);
}

TEST(failure, with_a_false_look_and_then_a_gap_is_seen_false) {
    World world = opened("plane 3 shut for 20 s within 30 s");
    world.look(4'000, 4'100, up);
    world.look(5'000, 5'100, shut);
    EXPECT_EQ(failed(world, 11'001).failure, Failure::seen_false)
        << "no look was unknown or missed; the looks that were not made are not supposed true";
}

} // namespace
} // namespace slotwitness::witness::test
