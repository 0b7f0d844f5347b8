#include "world.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <stdexcept>

namespace slotwitness::witness::test {
namespace {

using testing::ElementsAre;

TEST(look, asked_before_the_opening_does_not_count) {
    World world;
    world.run(0);
    world.begin(1'000);
    world.open(1'500, "plane 3 shut");
    world.answer(2'000, 1'499, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    EXPECT_EQ(world.gate().because.reason, Reason::not_looked_yet);
    EXPECT_FALSE(world.gate().last_look);
}

TEST(look, asked_at_the_opening_counts) {
    World world;
    world.run(0);
    world.begin(1'000);
    world.open(1'500, "plane 3 shut");
    world.answer(2'000, 1'500, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
    EXPECT_EQ(world.gate().last_look, (Look{at(1'500), at(2'000)}));
    EXPECT_EQ(world.gate().decided, at(2'000));
}

const World::Terms two{"g", 6'000, 0, 0, {"modules", "planes"}};
const Sheet fab3 =
    Sheet({Kind::module})
        .row(Kind::module, "FAB3", facts(state::AdminState::unlocked, state::OperState::enabled));

TEST(look, is_judged_with_the_last_of_its_answers) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut and module FAB3 up", two);
    world.begin(1'000, {"chassis", "planes", "modules"});
    world.answer(1'400, 1'100, shut, "planes");
    EXPECT_FALSE(world.gate().last_look);
    world.answer(1'900, 1'500, fab3, "modules");
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
    EXPECT_EQ(world.gate().last_look, (Look{at(1'100), at(1'900)}));
}

TEST(look, of_two_queries_needs_both_asked_after_the_opening) {
    World world;
    world.run(0);
    world.begin(1'000, {"planes", "modules"});
    world.answer(1'400, 1'100, shut, "planes");
    world.open(1'450, "plane 3 shut and module FAB3 up", two);
    world.answer(1'900, 1'500, fab3, "modules");
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    EXPECT_FALSE(world.gate().last_look);
}

TEST(look, needs_a_round_that_asks_all_its_queries) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut and module FAB3 up", two);
    world.look(1'000, 1'100, shut);
    world.begin(2'000, {"modules"});
    world.answer(2'100, 2'000, fab3, "modules");
    EXPECT_FALSE(world.gate().last_look) << "nothing is carried over from another round";
}

TEST(look, with_a_failed_query_has_its_facts_unknown) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut and module FAB3 up", two);
    world.begin(1'000, {"planes", "modules"});
    world.answer(1'400, 1'100, shut, "planes");
    world.fail(1'900, 1'500, "modules", NoAnswer::refused);
    EXPECT_EQ(world.gate().truth, Truth::unknown);
    EXPECT_EQ(world.gate().because.reason, Reason::no_answer);
    EXPECT_TRUE(world.all<RoundMissed>().empty());
    world.begin(3'000, {"planes", "modules"});
    world.answer(3'400, 3'100, up, "planes");
    world.fail(3'900, 3'500, "modules", NoAnswer::refused);
    EXPECT_EQ(world.gate().truth, Truth::no) << "one false operand is enough";
}

TEST(look, without_any_answer_is_missed) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut");
    world.silence(1'000, 2'000);
    ASSERT_EQ(world.all<RoundMissed>().size(), 1U);
    EXPECT_EQ(world.all<RoundMissed>()[0].round, 1U);
    EXPECT_THAT(world.all<RoundMissed>()[0].gates, ElementsAre("g"));
    EXPECT_EQ(world.gate().because.reason, Reason::missed_look);
    EXPECT_FALSE(world.gate().last_look);
}

TEST(look, overdue_by_more_than_the_gap_is_missed_and_its_late_answer_does_not_count) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut");
    world.begin(1'000);
    EXPECT_EQ(world.next_due, at(7'001));
    world.tick(7'000);
    EXPECT_TRUE(world.all<RoundMissed>().empty()) << "G itself is not overdue";
    world.tick(7'001);
    ASSERT_EQ(world.all<RoundMissed>().size(), 1U);
    EXPECT_EQ(world.gate().because.reason, Reason::missed_look);
    world.answer(7'500, 1'000, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    EXPECT_FALSE(world.gate().last_look);
    world.look(8'000, 8'100, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
}

TEST(look, answered_at_the_very_instant_of_being_overdue_is_missed) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut");
    world.begin(1'000);
    world.answer(7'001, 1'000, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
    EXPECT_EQ(world.all<RoundMissed>().size(), 1U);
}

TEST(look, is_missed_by_the_gate_with_the_shorter_gap_only) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut", {"short", 2'000});
    world.open(0, "plane 3 shut", {"long", 20'000});
    world.begin(1'000);
    world.answer(5'000, 1'000, shut);
    ASSERT_EQ(world.all<RoundMissed>().size(), 1U);
    EXPECT_THAT(world.all<RoundMissed>()[0].gates, ElementsAre("short"));
    EXPECT_EQ(world.gate("short").verdict, Verdict::pending);
    EXPECT_EQ(world.gate("long").verdict, Verdict::pass);
}

TEST(look, is_missed_when_the_next_round_begins_before_it_is_answered) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut");
    const RoundNumber first = world.begin(1'000);
    world.begin(2'000);
    ASSERT_EQ(world.all<RoundMissed>().size(), 1U);
    EXPECT_EQ(world.all<RoundMissed>()[0].round, first);
    world.answer(2'500, 2'000, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
}

TEST(look, ignores_reports_of_other_rounds_other_queries_and_second_ones) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut and module FAB3 up", two);
    world.begin(1'000, {"planes", "modules"});
    const auto reading = std::make_shared<const state::Reading>(shut.reading());
    world.tell({at(1'200), Answered{77, "planes", at(1'000), "c", {true, 0, ""}, reading}});
    world.answer(1'300, 1'000, shut, "ports");
    world.answer(1'400, 1'000, up, "planes");
    world.answer(1'500, 1'000, shut, "planes");
    world.answer(1'600, 1'000, fab3, "modules");
    EXPECT_EQ(world.gate().truth, Truth::no) << "the first report of a query counts";
}

TEST(look, of_a_cut_answer_cannot_pass_though_its_reading_says_whole) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut");
    const RoundNumber round = world.begin(1'000);
    const auto reading = std::make_shared<const state::Reading>(shut.reading());
    world.tell({at(1'500),
                Answered{round, "planes", at(1'000), "c", {true, 1, "exit status 1"}, reading}});
    EXPECT_EQ(world.gate().truth, Truth::unknown);
    EXPECT_EQ(world.gate().because.reason, Reason::not_whole);
}

TEST(look, with_no_round_begun_is_none) {
    World world;
    world.run(0);
    world.open(0, "plane 3 shut");
    world.answer(1'000, 900, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pending);
}

TEST(step, refuses_what_only_a_defect_of_the_caller_brings_about) {
    World world;
    world.run(1'000);
    world.begin(1'000);
    EXPECT_THROW(world.tick(999), std::logic_error);
    EXPECT_THROW(world.answer(1'500, 1'501, shut), std::logic_error);
    EXPECT_THROW(world.fail(1'500, 1'501), std::logic_error);
    EXPECT_THROW(
        world.tell({at(1'500), Answered{1, "planes", at(1'000), "c", {true, 0, ""}, nullptr}}),
        std::logic_error);
    EXPECT_NO_THROW(world.tick(1'000));
}

TEST(inventory, is_fixed_by_the_first_whole_and_wholly_read_list) {
    World world;
    world.run(0, true, {});
    world.look(1'000, 1'100, Sheet(up).cut());
    world.look(2'000, 2'100, Sheet(up).unread("odd"));
    world.look(3'000, 3'100, Sheet().row(Kind::plane, "9"));
    EXPECT_TRUE(world.all<InventoryFixed>().empty());
    world.look(4'000, 4'100, up);
    world.look(5'000, 5'100, planes({{"1", 'u'}}));
    ASSERT_EQ(world.all<InventoryFixed>().size(), 1U);
    EXPECT_EQ(world.all<InventoryFixed>()[0], (InventoryFixed{Kind::plane, {"1", "2", "3"}}));
}

TEST(inventory, of_the_configuration_is_not_fixed_by_a_look) {
    World world;
    world.run(0);
    world.look(1'000, 1'100, planes({{"1", 'u'}}));
    EXPECT_TRUE(world.all<InventoryFixed>().empty());
    world.open(2'000, "every plane up");
    world.look(3'000, 3'100, planes({{"1", 'u'}}));
    EXPECT_EQ(world.gate().truth, Truth::no) << "planes 2 and 3 are absent";
}

TEST(inventory, stays_over_a_restart) {
    World world;
    world.run(0, true, {});
    world.look(1'000, 1'100, up);
    world.run(2'000, true, {});
    world.open(2'000, "plane 3 absent");
    world.look(3'000, 3'100, planes({{"1", 'u'}, {"2", 'u'}}));
    EXPECT_EQ(world.gate().verdict, Verdict::pass);
    EXPECT_NE(world.gate().because.text.find("inventory from the first whole look"),
              std::string::npos);
}

TEST(look, of_a_round_begun_before_the_opening_is_never_missed_by_being_late) {
    World world;
    world.run(0);
    world.begin(1'000);
    world.open(1'500, "plane 3 shut");
    EXPECT_FALSE(world.next_due) << "nobody knows yet whether it was asked before";
    world.answer(9'000, 8'000, shut);
    EXPECT_EQ(world.gate().verdict, Verdict::pass) << "it was asked after the opening";
    EXPECT_TRUE(world.all<RoundMissed>().empty());
}

TEST(inventory, is_not_fixed_by_a_reading_that_is_not_whole_or_comes_second) {
    World world;
    world.run(0, true, {});
    const RoundNumber round = world.begin(1'000, {"planes", "modules"});
    const auto cut = std::make_shared<const state::Reading>(Sheet(up).cut().reading());
    world.tell({at(1'100), Answered{round, "planes", at(1'000), "c", {true, 0, ""}, cut}});
    world.answer(1'200, 1'000, up, "planes");
    EXPECT_TRUE(world.all<InventoryFixed>().empty());
}

} // namespace
} // namespace slotwitness::witness::test
