#include "world.hpp"

#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

TEST(deadline, counts_its_boundary) {
    World world = opened("plane 3 shut within 10 s");
    world.look(9'000, 10'000, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
    EXPECT_EQ(world.gate().deadline, at(10'000));
}

TEST(deadline, fails_a_gate_without_hold_just_after_it) {
    World world = opened("plane 3 shut within 10 s");
    EXPECT_EQ(world.next_due, at(10'001));
    world.look(1'000, 1'100, up);
    world.tick(10'000);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    world.tick(10'001);
    EXPECT_EQ(world.gate().verdict, Verdict::fail);
    EXPECT_EQ(world.gate().failure, Failure::seen_false);
    EXPECT_EQ(world.gate().because.reason, Reason::deadline_passed);
    EXPECT_EQ(world.gate().decided, at(10'001));
    EXPECT_TRUE(world.gate().retired);
    EXPECT_FALSE(world.gate().standing);
    EXPECT_FALSE(world.next_due);
}

TEST(deadline, is_not_met_by_an_answer_after_it) {
    World world = opened("plane 3 shut within 10 s");
    world.begin(9'000);
    world.answer(10'001, 9'000, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::fail);
    EXPECT_EQ(world.gate().decided, at(10'001));
    EXPECT_EQ(world.gate().truth, Truth::yes) << "seen, but too late";
}

TEST(deadline, without_within_never_comes) {
    World world = opened("plane 3 shut");
    EXPECT_FALSE(world.next_due);
    world.tick(1'000'000'000);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
}

TEST(deadline, fails_a_hold_as_soon_as_no_later_look_could_meet_it) {
    World world = opened("plane 3 shut for 4 s within 10 s");
    EXPECT_EQ(world.next_due, at(6'001));
    world.tick(6'000);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    world.tick(6'001);
    EXPECT_EQ(world.gate().verdict, Verdict::fail);
    EXPECT_EQ(world.gate().decided, at(6'001));
}

TEST(deadline, takes_the_refresh_into_account) {
    World::Terms terms;
    terms.refresh = 2'000;
    World world = opened("plane 3 shut for 4 s within 10 s", terms);
    EXPECT_EQ(world.next_due, at(4'001));
}

TEST(deadline, lets_a_run_that_began_in_time_go_on) {
    World world = opened("plane 3 shut for 4 s within 10 s");
    world.look(5'900, 6'000, shut);
    world.tick(9'000);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    world.look(9'900, 9'950, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    world.look(10'000, 10'000, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
}

TEST(deadline, fails_a_run_that_began_too_late_at_its_first_look) {
    World world = opened("plane 3 shut for 4 s within 10 s");
    world.begin(5'900);
    world.answer(6'001, 5'900, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::fail);
    EXPECT_EQ(world.gate().decided, at(6'001));
}

TEST(deadline, fails_a_hold_at_the_look_that_ends_its_last_chance) {
    World world = opened("plane 3 shut for 4 s within 10 s");
    world.look(5'000, 5'100, shut);
    world.look(7'000, 7'100, up);
    EXPECT_EQ(world.gate().verdict, Verdict::fail);
    EXPECT_EQ(world.gate().failure, Failure::seen_false);
    EXPECT_EQ(world.gate().decided, at(7'100));
    EXPECT_EQ(world.gate().because.text.find("The device reports fabric plane 3: admin unlocked"),
              0U)
        << world.gate().because.text;
    ASSERT_FALSE(world.gate().because.cites.empty());
    EXPECT_EQ(world.gate().because.cites[0].at.line, 3U);
}

TEST(deadline, fails_a_hold_when_any_further_look_would_come_after_a_gap) {
    World world = opened("plane 3 shut for 20 s within 30 s");
    world.look(5'000, 5'100, shut);
    world.look(9'000, 9'100, shut);
    world.tick(15'000);
    EXPECT_EQ(world.gate().verdict, Verdict::pending)
        << "a look answered now would have no gap before it";
    EXPECT_EQ(world.next_due, at(15'001));
    world.tick(15'001);
    EXPECT_EQ(world.gate().verdict, Verdict::fail);
    EXPECT_EQ(world.gate().decided, at(15'001));
}

TEST(deadline, that_not_even_the_refresh_leaves_time_for_fails_at_opening) {
    World::Terms terms;
    terms.refresh = 7'000;
    World world = opened("plane 3 shut for 4 s within 10 s", terms);
    EXPECT_EQ(world.gate().verdict, Verdict::fail);
    EXPECT_EQ(world.gate().failure, Failure::not_seen);
    EXPECT_EQ(world.gate().decided, at(0));
}

TEST(step_order, an_answer_at_an_instant_comes_before_what_is_due_then) {
    World world = opened("plane 3 shut for 4 s within 10 s");
    world.look(2'000, 2'100, shut);
    world.begin(6'500);
    world.answer(8'001, 6'500, shut); // the gap after 2 000 is due at 8 001, the answer comes first
    EXPECT_EQ(world.gate().because.reason, Reason::deadline_passed);
    EXPECT_EQ(world.gate().decided, at(8'001));
    EXPECT_EQ(world.gate().last_look, (Look{at(6'500), at(8'001)}));
}

TEST(step_order, what_fell_due_before_an_event_is_done_at_its_own_instant) {
    World world = opened("plane 3 shut within 10 s");
    world.tell({at(50'000), GateClosed{"g", "engineer"}});
    EXPECT_EQ(world.gate().verdict, Verdict::fail) << "it had failed before anyone cancelled it";
    EXPECT_EQ(world.gate().decided, at(10'001));
}

TEST(step_order, a_cancel_at_the_instant_of_the_deadline_comes_first) {
    World world = opened("plane 3 shut within 10 s");
    world.close(10'001);
    EXPECT_EQ(world.gate().verdict, Verdict::cancelled);
    EXPECT_EQ(world.gate().decided, at(10'001));
    EXPECT_EQ(world.gate().because.reason, Reason::cancelled);
    EXPECT_EQ(world.gate().because.text, "Cancelled by engineer.");
}

} // namespace
} // namespace slotwitness::witness::test
