#include "world.hpp"

#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

TEST(restart, starts_the_hold_again_and_keeps_gate_and_deadline) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut for 4 s within 1 min");
    world.look(1'000, 1'100, shut);
    world.look(4'000, 4'100, shut);
    world.run(4'500);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    EXPECT_EQ(world.gate().truth, Truth::unknown);
    EXPECT_EQ(world.gate().held, ms(0));
    EXPECT_EQ(world.gate().deadline, at(60'000));
    EXPECT_EQ(world.gate().because.reason, Reason::not_looked_yet);
    world.look(5'200, 5'300, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pending)
        << "4.1 s since the first look, but not in this run";
    world.look(9'300, 9'400, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
}

TEST(restart, discards_a_round_under_way_and_names_it_missed) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut");
    const RoundNumber round = world.begin(1'000);
    world.run(2'000);
    ASSERT_EQ(world.all<RoundMissed>().size(), 1U);
    EXPECT_EQ(world.all<RoundMissed>()[0].round, round);
    world.answer(2'500, 1'000, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pending) << "that round is over";
}

TEST(restart, fails_pending_deadlines_as_not_seen_where_the_time_between_is_unknown) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut within 1 min", {"bound"});
    world.open(0, "plane 3 shut", {"free"});
    world.look(1'000, 1'100, up);
    world.run(2'000, false);
    EXPECT_EQ(world.gate("bound").verdict, Verdict::fail);
    EXPECT_EQ(world.gate("bound").failure, Failure::not_seen);
    EXPECT_EQ(world.gate("bound").because.reason, Reason::time_unknown);
    EXPECT_EQ(world.gate("bound").decided, at(2'000));
    EXPECT_EQ(world.gate("free").verdict, Verdict::pending);
}

TEST(restart, takes_confidence_in_a_guarded_gate_back) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut for 4 s");
    world.look(1'000, 1'100, shut);
    world.look(6'000, 6'100, shut);
    world.run(6'500);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
    EXPECT_EQ(world.gate().standing, Standing::unseen);
    EXPECT_TRUE(world.gate().guarded);
    world.look(7'000, 7'100, shut);
    EXPECT_EQ(world.gate().standing, Standing::settling);
    world.look(11'100, 11'200, shut);
    EXPECT_EQ(world.gate().standing, Standing::met);
}

TEST(restart, does_not_call_a_loss_off) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut");
    world.look(1'000, 1'100, shut);
    world.look(3'000, 3'100, up);
    world.run(4'000);
    EXPECT_EQ(world.gate().standing, Standing::lost);
    world.tick(9'101);
    EXPECT_EQ(world.gate().standing, Standing::unseen) << "no look was answered for longer than G";
}

TEST(restart, lets_a_deadline_that_passed_meanwhile_fail_at_its_own_instant) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut within 10 s");
    world.run(100'000);
    EXPECT_EQ(world.gate().verdict, Verdict::fail);
    EXPECT_EQ(world.gate().decided, at(10'001));
}

TEST(restart, does_not_touch_a_gate_that_failed_before_it) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut within 10 s");
    world.look(1'000, 1'100, up);
    world.run(100'000, false);
    EXPECT_EQ(world.gate().because.reason, Reason::deadline_passed);
    EXPECT_EQ(world.gate().failure, Failure::seen_false);
    EXPECT_EQ(world.history().back().decided, at(10'001));
}

// What the journal does after a crash: the same events in the same order, into a fresh witness.
TEST(replay, of_the_events_gives_the_same_findings_and_the_same_future) {
    World live;
    live.run(0);
    std::vector<Event> events;
    const auto reading = std::make_shared<const state::Reading>(shut.reading());
    events.push_back({at(10), GateOpened{"g",
                                         "plane 3 shut for 4 s within 1 min",
                                         {"planes"},
                                         ms(6'000),
                                         ms(0),
                                         ms(0),
                                         "engineer",
                                         ""}});
    for (RoundNumber round = 1; round <= 4; ++round) {
        const auto t = static_cast<std::int64_t>(round) * 2'000;
        events.push_back({at(t), RoundStarted{round, {"planes"}}});
        events.push_back(
            {at(t + 100), Answered{round, "planes", at(t), "c", {true, 0, ""}, reading}});
    }
    Witness fresh;
    RunStarted started;
    started.inventory = {{Kind::plane, {"1", "2", "3"}}};
    (void)fresh.step({at(0), started});
    for (const Event& event : events) {
        const Outcome first = live.tell(event);
        const Outcome second = fresh.step(event);
        ASSERT_EQ(first.findings.size(), second.findings.size());
        for (std::size_t i = 0; i < first.findings.size(); ++i)
            EXPECT_EQ(std::get<GateFinding>(first.findings[i]),
                      std::get<GateFinding>(second.findings[i]));
        EXPECT_EQ(first.next_due, second.next_due);
    }
    EXPECT_EQ(live.gate().verdict, Verdict::pass);
}

TEST(snapshot, a_copy_steps_on_by_itself) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut for 4 s");
    world.look(1'000, 1'100, shut);
    World copy = world;
    copy.look(3'000, 3'100, up);
    EXPECT_EQ(copy.gate().truth, Truth::no);
    world.look(6'000, 6'100, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass) << "the copy's false look was not ours";
    copy.witness = world.witness;
    copy.findings.clear();
    copy.look(7'000, 7'100, up);
    EXPECT_EQ(copy.gate().standing, Standing::lost);
    const Witness moved = std::move(copy.witness);
    EXPECT_FALSE(moved.wanted_askings().empty());
}

TEST(restart, takes_the_inventory_that_its_own_configuration_states) {
    World world;
    world.run(0, true, {{Kind::plane, {"1", "2", "3", "4"}}});
    world.run(1'000, true, {{Kind::plane, {}}}); // a kind without names is not stated
    world.look(2'000, 2'100, up);
    ASSERT_EQ(world.all<InventoryFixed>().size(), 1U)
        << "the former configuration states nothing any more";
    world.open(3'000, "every plane up");
    world.look(4'000, 4'100, up);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
    world.run(5'000, true, {{Kind::plane, {"1", "2", "3", "4"}}});
    world.look(6'000, 6'100, up);
    EXPECT_EQ(world.gate().standing, Standing::lost)
        << "configuration goes before the first look: plane 4 is absent";
}

} // namespace
} // namespace slotwitness::witness::test
