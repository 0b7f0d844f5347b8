#include "world.hpp"

#include <slotwitness/witness/signs.hpp>

#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

using namespace std::chrono_literals;

Sign uptime(Duration value, std::int64_t asked, std::int64_t answered) {
    return {value, {}, {at(asked), at(answered)}};
}

TEST(uptime, that_fell_is_a_move) {
    EXPECT_TRUE(moved(uptime(100s, 0, 100), uptime(1s, 2'000, 2'100), 0ms));
    EXPECT_TRUE(moved(uptime(100s, 0, 100), uptime(0s, 2'000, 2'100), 0ms));
    EXPECT_TRUE(moved(uptime(2h, 0, 100), uptime(1h, 2'000, 2'100), 0ms));
}

TEST(uptime, that_fell_by_less_than_the_refresh_is_a_move_too) {
    EXPECT_TRUE(moved(uptime(100s, 0, 100), uptime(99s, 2'000, 2'100), 30s));
}

TEST(uptime, that_grows_with_time_is_none) {
    EXPECT_FALSE(moved(uptime(100s, 0, 100), uptime(102s, 2'000, 2'100), 0ms));
    EXPECT_FALSE(moved(uptime(0s, 0, 100), uptime(2s, 2'000, 2'100), 0ms));
    EXPECT_FALSE(moved(uptime(100s, 0, 100), uptime(100s, 2'000, 2'100), 2s))
        << "the same table, not yet renewed";
}

// The state began at or before 100 - 1 000 ms, and after 10 000 - 0 - 1 000 - 1 000 ms.
TEST(uptime, that_grew_less_than_time_did_is_a_move) {
    EXPECT_TRUE(moved(uptime(1s, 0, 100), uptime(1s, 10'000, 10'100), 0ms));
    EXPECT_TRUE(moved(uptime(0s, 0, 100), uptime(0s, 10'000, 10'100), 0ms));
    EXPECT_TRUE(moved(uptime(5s, 0, 100), uptime(7s, 10'000, 10'100), 0ms));
}

TEST(uptime, moves_at_the_bound_exactly) {
    // Began by 100 - 5 000 = -4 900; after a' - 6 000 - 1 000.
    EXPECT_TRUE(moved(uptime(5s, 0, 100), uptime(6s, 2'100, 2'200), 0ms));
    EXPECT_FALSE(moved(uptime(5s, 0, 100), uptime(6s, 2'099, 2'200), 0ms));
    EXPECT_FALSE(moved(uptime(5s, 0, 100), uptime(6s, 2'100, 2'200), 1ms))
        << "the refresh widens it";
}

TEST(uptime, printed_in_minutes_or_hours_is_judged_by_its_precision) {
    EXPECT_EQ(printed_precision(59s), 1s);
    EXPECT_EQ(printed_precision(120s), 1min);
    EXPECT_EQ(printed_precision(2h), 1h);
    EXPECT_EQ(printed_precision(48h), 24h);
    EXPECT_EQ(printed_precision(14 * 24h), 7 * 24h);
    EXPECT_EQ(printed_precision(0s), 1s)
        << "of 0 the finest: a plane that flaps with every look shows 0 always";
    EXPECT_FALSE(moved(uptime(2min, 0, 100), uptime(2min, 30'000, 30'100), 0ms));
    EXPECT_TRUE(moved(uptime(2min, 0, 100), uptime(2min, 61'000, 61'100), 0ms));
}

TEST(flaps, that_changed_either_way_are_a_move) {
    const auto flaps = [](std::int64_t count) {
        return Sign{{}, units::Decimal::of(count, 0), {at(0), at(0)}};
    };
    EXPECT_FALSE(moved(flaps(7), flaps(7), 0ms));
    EXPECT_TRUE(moved(flaps(7), flaps(8), 0ms));
    EXPECT_TRUE(moved(flaps(7), flaps(0), 0ms)) << "cleared: nobody knows what happened";
    EXPECT_FALSE(moved(flaps(7), Sign{}, 0ms));
}

Sheet port(const char* flaps) {
    Facts of = facts(state::AdminState::unlocked, state::OperState::disabled);
    if (flaps != nullptr)
        of.emplace_back(Attribute::flaps, quantity(flaps));
    return Sheet({Kind::port})
        .row(Kind::port, "eth1", of)
        .row(Kind::port, "eth2", {{Attribute::flaps, quantity("1")}});
}

World watching(const std::string& sentence) {
    World world;
    world.run(0, true, {{Kind::port, {"eth1", "eth2"}}});
    world.open(0, sentence);
    return world;
}

TEST(hold, starts_again_when_the_flap_count_moved_between_two_true_looks) {
    World world = watching("port eth1 down for 4 s");
    world.look(1'000, 1'100, port("7"));
    EXPECT_EQ(world.gate().because.text.find("looks alone"), std::string::npos)
        << "the device tells changes";
    world.look(5'200, 5'300, port("9"));
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    EXPECT_EQ(world.gate().because.reason, Reason::state_moved);
    EXPECT_EQ(world.gate().held, ms(0));
    world.look(9'300, 9'400, port("9"));
    EXPECT_EQ(world.gate().verdict, Verdict::pass) << "this look was a new first one";
}

TEST(hold, sees_a_flap_across_a_look_that_does_not_tell_the_count) {
    World world = watching("port eth1 down for 6 s");
    world.look(1'000, 1'100, port("7"));
    world.look(4'000, 4'100, port(nullptr));
    EXPECT_NE(world.gate().because.text.find("looks alone"), std::string::npos);
    world.look(8'000, 8'100, port("8"));
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    EXPECT_EQ(world.gate().because.reason, Reason::state_moved);
}

TEST(hold, is_not_touched_by_flaps_of_components_that_it_does_not_read) {
    World world = watching("port eth1 down for 4 s");
    world.look(1'000, 1'100, port("7"));
    Sheet other =
        Sheet({Kind::port})
            .row(Kind::port, "eth1",
                 {{Attribute::oper, state::OperState::disabled}, {Attribute::flaps, quantity("7")}})
            .row(Kind::port, "eth2", {{Attribute::flaps, quantity("2")}});
    world.look(5'200, 5'300, other);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
}

TEST(hold, starts_again_when_an_uptime_fell) {
    const auto with = [](const char* uptime) {
        return Sheet({Kind::port})
            .row(Kind::port, "eth1",
                 {{Attribute::oper, state::OperState::disabled},
                  {Attribute::uptime, quantity(uptime)}});
    };
    World world = watching("port eth1 down for 4 s");
    world.look(1'000, 1'100, with("100 s"));
    world.look(5'200, 5'300, with("2 s"));
    EXPECT_EQ(world.gate().because.reason, Reason::state_moved);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
}

TEST(standing, settles_when_the_state_moved_between_two_true_looks) {
    World world = watching("port eth1 down for 4 s");
    world.look(1'000, 1'100, port("7"));
    world.look(5'200, 5'300, port("7"));
    ASSERT_EQ(world.gate().standing, Standing::met);
    world.look(7'000, 7'100, port("9"));
    EXPECT_EQ(world.gate().standing, Standing::settling);
}

// A move between two looks counts as an unknown look, and those are true in the hopeful world.
TEST(failure, is_not_seen_when_only_a_flap_broke_the_hold) {
    World world = watching("port eth1 down for 4 s within 10 s");
    world.look(500, 600,
               Sheet({Kind::port})
                   .row(Kind::port, "eth1", {{Attribute::oper, state::OperState::enabled}}));
    world.look(1'000, 1'100, port("7"));
    world.look(5'800, 6'100, port("9"));
    EXPECT_EQ(world.gate().verdict, Verdict::fail);
    EXPECT_EQ(world.gate().failure, Failure::not_seen);
}

TEST(failure, is_not_seen_when_the_state_moved_between_two_false_looks) {
    const auto enabled = [](const char* flaps) {
        return Sheet({Kind::port})
            .row(Kind::port, "eth1",
                 {{Attribute::oper, state::OperState::enabled},
                  {Attribute::flaps, quantity(flaps)}});
    };
    for (const bool flapped : {false, true}) {
        World world = watching("port eth1 down within 10 s");
        world.look(1'000, 1'100, enabled("7"));
        world.look(3'000, 3'100, enabled(flapped ? "9" : "7"));
        world.tick(10'001);
        EXPECT_EQ(world.gate().failure, flapped ? Failure::not_seen : Failure::seen_false);
    }
}

TEST(restart, discards_the_signs_too) {
    const auto enabled = [](const char* flaps) {
        return Sheet({Kind::port})
            .row(Kind::port, "eth1",
                 {{Attribute::oper, state::OperState::enabled},
                  {Attribute::flaps, quantity(flaps)}});
    };
    World world = watching("port eth1 down within 10 s");
    world.look(1'000, 1'100, enabled("7"));
    world.run(2'000, true, {{Kind::port, {"eth1", "eth2"}}});
    world.look(3'000, 3'100, enabled("0")); // the device may have been started again too
    world.tick(10'001);
    EXPECT_EQ(world.gate().failure, Failure::seen_false);
}

TEST(hold, sees_an_uptime_that_fell_across_a_look_that_does_not_tell_it) {
    const auto with = [](const Facts& more) {
        Facts of = more;
        of.emplace_back(Attribute::oper, state::OperState::disabled);
        return Sheet({Kind::port}).row(Kind::port, "eth1", of);
    };
    World world = watching("port eth1 down for 6 s");
    world.look(1'000, 1'100, with({{Attribute::uptime, quantity("100 s")}}));
    world.look(4'000, 4'100, with({{Attribute::flaps, quantity("7")}}));
    world.look(8'000, 8'100,
               with({{Attribute::uptime, quantity("2 s")}, {Attribute::flaps, quantity("7")}}));
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    EXPECT_EQ(world.gate().because.reason, Reason::state_moved);
}

} // namespace
} // namespace slotwitness::witness::test
