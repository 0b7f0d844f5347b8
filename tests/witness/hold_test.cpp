#include "world.hpp"

#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

TEST(hold, is_not_needed_without_for) {
    World world = opened("plane 3 shut");
    world.look(1'000, 1'200, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
    EXPECT_EQ(world.gate().because.reason, Reason::true_now);
    EXPECT_EQ(world.gate().standing, Standing::met);
    EXPECT_TRUE(world.gate().guarded);
    EXPECT_FALSE(world.gate().retired);
}

TEST(hold, counts_from_the_end_of_its_first_look_to_the_asking_of_its_last) {
    World world = opened("plane 3 shut for 4 s");
    world.look(1'000, 1'200, shut);
    EXPECT_EQ(world.gate().because.reason, Reason::holding);
    EXPECT_EQ(world.gate().held, ms(0));
    world.look(3'000, 3'200, shut);
    EXPECT_EQ(world.gate().held, ms(1'800));
    world.look(5'199, 5'800, shut);
    EXPECT_EQ(world.gate().held, ms(3'999));
    EXPECT_EQ(world.gate().verdict, Verdict::pending) << "answered late enough, asked too early";
    world.look(5'900, 6'000, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
    EXPECT_EQ(world.gate().held, ms(4'700));
    EXPECT_EQ(world.gate().needs, ms(4'000));
}

TEST(hold, is_met_at_its_very_length) {
    World world = opened("plane 3 shut for 4 s");
    world.look(1'000, 1'200, shut);
    world.look(5'200, 5'300, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
}

TEST(hold, is_longer_by_the_refresh) {
    World::Terms terms;
    terms.refresh = 2'000;
    World world = opened("plane 3 shut for 4 s", terms);
    world.look(1'000, 1'200, shut);
    world.look(5'200, 5'300, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    EXPECT_EQ(world.gate().held, ms(2'000));
    world.look(7'199, 7'300, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    world.look(7'400, 7'500, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
}

// Bounded past operators hold vacuously before there is enough past; a hold must not.
TEST(hold, is_never_met_by_one_look_however_long_it_took) {
    World world = opened("plane 3 shut for 1 s");
    world.look(1'000, 6'000, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    EXPECT_EQ(world.gate().held, ms(0));
}

TEST(hold, starts_again_after_a_look_that_is_false) {
    World world = opened("plane 3 shut for 4 s");
    world.look(1'000, 1'100, shut);
    world.look(3'000, 3'100, up);
    EXPECT_EQ(world.gate().because.reason, Reason::false_now);
    EXPECT_EQ(world.gate().held, ms(0));
    world.look(4'000, 4'100, shut);
    world.look(6'000, 6'100, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    EXPECT_EQ(world.gate().held, ms(1'900));
    world.look(8'100, 8'200, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
}

TEST(hold, starts_again_after_a_look_that_is_unknown) {
    World world = opened("plane 3 shut for 4 s");
    world.look(1'000, 1'100, shut);
    world.look(3'000, 3'100, unclear);
    EXPECT_EQ(world.gate().because.reason, Reason::unknown_word);
    world.look(5'500, 5'600, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    EXPECT_EQ(world.gate().because.reason, Reason::holding);
    EXPECT_EQ(world.gate().held, ms(0));
}

TEST(hold, starts_again_after_a_missed_look) {
    World world = opened("plane 3 shut for 4 s");
    world.look(1'000, 1'100, shut);
    world.silence(3'000, 3'100);
    EXPECT_EQ(world.gate().because.reason, Reason::missed_look);
    EXPECT_EQ(world.gate().held, ms(0));
    world.look(5'500, 5'600, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    EXPECT_EQ(world.gate().held, ms(0));
}

TEST(hold, starts_again_after_a_gap) {
    World world = opened("plane 3 shut for 4 s");
    world.look(1'000, 1'100, shut);
    world.look(6'900, 7'001, shut); // 6 001 ms from asking to answer
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    EXPECT_EQ(world.gate().because.reason, Reason::gap);
    EXPECT_EQ(world.gate().held, ms(0));
    world.look(11'000, 11'100, shut);
    EXPECT_EQ(world.gate().held, ms(3'999)) << "it runs from the look after the gap";
    world.look(11'200, 11'300, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
}

TEST(hold, survives_a_gap_of_exactly_g) {
    World world = opened("plane 3 shut for 4 s");
    world.look(1'000, 1'100, shut);
    world.look(6'900, 7'000, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
}

TEST(hold, tells_that_it_rests_on_looks_alone) {
    World world = opened("plane 3 shut for 4 s");
    world.look(1'000, 1'100, shut);
    EXPECT_EQ(world.gate().because.text,
              "The device reports fabric plane 3: admin locked, oper disabled. Held 0 s of 4 s. "
              "The hold rests on "
              "looks alone: the device tells no uptime or count of changes.");
}

TEST(hold, of_no_alarm_rests_on_looks_alone_too) {
    World world = opened("no alarm for 4 s", {"g", 6'000, 0, 0, {"alarms"}});
    world.begin(1'000, {"alarms"});
    world.answer(1'100, 1'000, Sheet({Kind::alarm}), "alarms");
    EXPECT_EQ(world.gate().because.reason, Reason::holding);
    EXPECT_NE(world.gate().because.text.find("looks alone"), std::string::npos);
}

} // namespace
} // namespace slotwitness::witness::test
