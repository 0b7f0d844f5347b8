#include "world.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

World passed(const std::string& sentence, std::int64_t guard = 0) {
    World world;
    world.run(0);
    World::Terms terms;
    terms.guard = guard;
    world.open(0, sentence, terms);
    world.look(1'000, 1'100, shut);
    world.look(6'000, 6'100, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
    EXPECT_EQ(world.gate().standing, Standing::met);
    return world;
}

TEST(standing, is_lost_at_a_false_look_and_the_verdict_stays) {
    World world = passed("plane 3 shut for 4 s");
    world.look(8'000, 8'100, up);
    EXPECT_EQ(world.gate().standing, Standing::lost);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
    EXPECT_EQ(world.gate().truth, Truth::no);
    EXPECT_EQ(world.gate().decided, at(6'100));
}

TEST(standing, settles_until_the_hold_is_met_again) {
    World world = passed("plane 3 shut for 4 s");
    world.look(8'000, 8'100, up);
    world.look(9'000, 9'100, shut);
    EXPECT_EQ(world.gate().standing, Standing::settling);
    world.look(11'000, 11'100, shut);
    EXPECT_EQ(world.gate().standing, Standing::settling);
    world.look(13'100, 13'200, shut);
    EXPECT_EQ(world.gate().standing, Standing::met);
}

TEST(standing, without_hold_is_met_again_at_once) {
    World world = passed("plane 3 shut");
    world.look(8'000, 8'100, up);
    EXPECT_EQ(world.gate().standing, Standing::lost);
    world.look(9'000, 9'100, shut);
    EXPECT_EQ(world.gate().standing, Standing::met);
}

TEST(standing, is_unseen_at_an_unknown_look) {
    World world = passed("plane 3 shut for 4 s");
    world.look(8'000, 8'100, unclear);
    EXPECT_EQ(world.gate().standing, Standing::unseen);
    world.look(9'000, 9'100, shut);
    EXPECT_EQ(world.gate().standing, Standing::settling);
    world.look(10'000, 10'100, unclear);
    EXPECT_EQ(world.gate().standing, Standing::unseen);
}

TEST(standing, that_is_lost_is_not_called_off_by_an_unknown_look) {
    World world = passed("plane 3 shut for 4 s");
    world.look(8'000, 8'100, up);
    world.look(9'000, 9'100, unclear);
    EXPECT_EQ(world.gate().standing, Standing::lost);
}

TEST(standing, is_unseen_when_no_look_was_answered_for_longer_than_g) {
    World world = passed("plane 3 shut for 4 s");
    EXPECT_EQ(world.gate().valid_until, at(12'100));
    EXPECT_EQ(world.next_due, at(12'101));
    world.tick(12'100);
    EXPECT_EQ(world.gate().standing, Standing::met);
    world.tick(12'101);
    EXPECT_EQ(world.gate().standing, Standing::unseen);
    EXPECT_EQ(world.gate().truth, Truth::unknown);
    EXPECT_EQ(world.gate().because.reason, Reason::gap);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
    world.look(13'000, 13'100, shut);
    EXPECT_EQ(world.gate().standing, Standing::settling);
}

TEST(standing, outlives_a_missed_look_until_g_is_over) {
    World world = passed("plane 3 shut for 4 s");
    world.silence(8'000, 8'100);
    EXPECT_EQ(world.gate().standing, Standing::met);
    EXPECT_EQ(world.gate().valid_until, at(12'100)) << "a missed look renews nothing";
    EXPECT_EQ(world.gate().because.reason, Reason::missed_look);
    world.look(9'000, 9'100, shut);
    EXPECT_EQ(world.gate().standing, Standing::settling) << "the missed look ended the run";
}

TEST(standing, stays_met_over_looks_that_stay_true) {
    World world = passed("plane 3 shut for 4 s");
    for (std::int64_t t = 8'000; t < 60'000; t += 2'000) {
        world.look(t, t + 100, shut);
        EXPECT_EQ(world.gate().standing, Standing::met);
    }
    EXPECT_EQ(world.gate().held, ms(58'000 - 1'100));
}

TEST(pending_gate, shows_truth_no_longer_than_g) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut for 1 min");
    EXPECT_EQ(world.gate().valid_until, at(6'000));
    EXPECT_FALSE(world.next_due) << "nothing shown can grow stale yet";
    world.look(1'000, 1'100, shut);
    EXPECT_EQ(world.next_due, at(7'101));
    world.tick(7'101);
    EXPECT_EQ(world.gate().truth, Truth::unknown);
    EXPECT_EQ(world.gate().because.reason, Reason::gap);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
}

TEST(guard, ends_after_its_time_and_no_look_changes_the_gate_then) {
    World world = passed("plane 3 shut", 10'000); // passed at 1 100
    world.look(11'000, 11'100, shut);
    EXPECT_TRUE(world.gate().retired) << "due at the instant of the answer, so after it";
    EXPECT_EQ(world.gate().last_look, (Look{at(11'000), at(11'100)}));
    EXPECT_FALSE(world.gate().guarded);
    EXPECT_FALSE(world.gate().standing);
    const std::size_t before = world.history().size();
    world.look(12'000, 12'100, up);
    EXPECT_EQ(world.history().size(), before);
    EXPECT_TRUE(world.witness.wanted_askings().empty());
    EXPECT_FALSE(world.next_due);
}

TEST(guard, of_no_time_lasts_until_the_gate_is_closed) {
    World world = passed("plane 3 shut");
    world.tick(1'000'000'000);
    EXPECT_TRUE(world.gate().guarded);
    world.close(1'000'000'001);
    EXPECT_TRUE(world.gate().retired);
    EXPECT_FALSE(world.gate().standing);
    EXPECT_EQ(world.gate().verdict, Verdict::pass) << "closing a decided gate cancels nothing";
}

TEST(guard, a_false_look_at_its_last_instant_is_still_seen) {
    World world = passed("plane 3 shut", 10'000);
    world.begin(11'000);
    world.answer(11'100, 11'000, up);
    const auto history = world.history();
    EXPECT_EQ(history[history.size() - 2].standing, Standing::lost);
    EXPECT_TRUE(history.back().retired);
}

TEST(closing, an_unknown_or_retired_gate_does_nothing) {
    World world = passed("plane 3 shut");
    world.close(7'000);
    const std::size_t before = world.findings.size();
    world.close(8'000);
    world.close(8'000, "nobody");
    EXPECT_EQ(world.findings.size(), before);
}

TEST(wanted_askings, are_those_of_pending_and_guarded_gates) {
    World world;
    world.run(0);
    EXPECT_TRUE(world.witness.wanted_askings().empty());
    world.open(0, "plane 3 shut");
    world.open(0, "plane 3 shut", {"h", 6'000, 0, 0, {"modules", "planes"}});
    EXPECT_THAT(world.witness.wanted_askings(), testing::ElementsAre("modules", "planes"));
    world.close(1, "h");
    EXPECT_THAT(world.witness.wanted_askings(), testing::ElementsAre("planes"));
}

} // namespace
} // namespace slotwitness::witness::test
