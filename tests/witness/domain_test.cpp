#include "world.hpp"

#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

using state::AdminState;
using state::OperState;
using state::Severity;

const Facts well = facts(AdminState::unlocked, OperState::enabled);
const Facts off = facts(AdminState::locked, OperState::disabled);

/// FAB1 and LINE2 are there; FAB3 is in the inventory and was pulled.
const Sheet modules =
    Sheet({Kind::module}).row(Kind::module, "FAB1", well).row(Kind::module, "LINE2", well);
const Inventory slots = inventory({{Kind::module, {"FAB1", "FAB3", "LINE2"}}});

TEST(absent_component, is_what_a_whole_list_of_the_inventory_leaves_out) {
    const View look = view({modules});
    struct {
        const char* words;
        Truth truth;
    } const table[] = {
        {"present", F},       {"up", F},           {"operational", F},
        {"absent", T},        {"down", U},         {"shut", U},
        {"starting", U},      {"degraded", U},     {"admin locked", U},
        {"oper disabled", U}, {"oper enabled", U},
    };
    for (const auto& row : table) {
        EXPECT_EQ(truth("module FAB3 " + std::string(row.words), look, slots).truth, row.truth)
            << row.words;
        EXPECT_EQ(truth("not module FAB3 " + std::string(row.words), look, slots).truth,
                  negate(row.truth))
            << row.words;
    }
    const Judgement shut = truth("module FAB3 shut", look, slots);
    EXPECT_EQ(shut.because.reason, Reason::not_listed);
    EXPECT_EQ(shut.because.text,
              "The device does not list module FAB3 (inventory from the configuration).");
    ASSERT_EQ(shut.because.cites.size(), 1U);
    EXPECT_EQ(shut.because.cites[0].capture, "capture-of-query1");
}

TEST(absent_component, needs_an_answer_that_lists_all) {
    const View look = view({Sheet().row(Kind::module, "FAB1", well)});
    EXPECT_EQ(truth("module FAB3 absent", look, slots).truth, U);
    EXPECT_EQ(truth("module FAB3 present", look, slots).truth, U);
    EXPECT_EQ(truth("module FAB3 up", look, slots).truth, U);
    EXPECT_EQ(truth("module FAB1 up", look, slots).truth, T);
}

TEST(absent_component, needs_the_query_that_lists_it_to_be_answered) {
    const View look = view({planes({{"1", 'u'}})}, {{"modules", NoAnswer::session_lost, ""}});
    const Judgement absent = truth("module FAB3 absent", look, slots);
    EXPECT_EQ(absent.truth, U);
    EXPECT_EQ(absent.because.reason, Reason::no_answer);
    EXPECT_EQ(absent.because.text, "The device gave no answer to \"modules\": session_lost.");
}

TEST(unknown_name, is_unknown_in_both_senses_and_the_names_seen_are_listed) {
    for (const char* sentence :
         {"module FBA3 absent", "not module FBA3 present", "module FBA3 up"}) {
        const Judgement one = truth(sentence, view({modules}), Inventory());
        EXPECT_EQ(one.truth, U) << sentence;
        EXPECT_EQ(one.because.reason, Reason::no_inventory) << sentence;
        EXPECT_NE(one.because.text.find("names seen: FAB1, LINE2."), std::string::npos)
            << one.because.text;
    }
}

TEST(every, ranges_over_rows_and_inventory) {
    EXPECT_EQ(truth("every module operational", view({modules}), slots).truth, F);
    EXPECT_EQ(truth("every module except FAB3 operational", view({modules}), slots).truth, T);
    EXPECT_EQ(truth("every module shut", view({modules}), slots).truth, F);
    EXPECT_EQ(truth("every module present", view({modules}), slots).truth, F);
    const View more = view(
        {Sheet({Kind::module}).row(Kind::module, "FAB1", well).row(Kind::module, "CTL0", off)});
    EXPECT_EQ(truth("every module up", more, inventory({{Kind::module, {"FAB1"}}})).truth, F)
        << "CTL0 is listed";
}

TEST(every, with_an_absent_member_of_unknown_state_is_unknown) {
    const View look = view({Sheet({Kind::module}).row(Kind::module, "FAB1", off)});
    const Judgement all =
        truth("every module shut", look, inventory({{Kind::module, {"FAB1", "FAB3"}}}));
    EXPECT_EQ(all.truth, U);
    EXPECT_EQ(all.because.reason, Reason::not_listed);
}

TEST(every, says_which_inventory_it_ranged_over) {
    const Judgement all = truth("every module except FAB3 up", view({modules}), slots);
    EXPECT_EQ(all.because.text,
              "The device reports up for every module judged: FAB1, LINE2 (inventory from the "
              "configuration).");
    Inventory seen;
    ASSERT_TRUE(seen.fix(Kind::module, {"FAB1", "LINE2"}));
    EXPECT_NE(truth("every module up", view({modules}), seen)
                  .because.text.find("inventory from the first whole look"),
              std::string::npos);
}

TEST(quantifiers, over_nothing_are_unknown) {
    const View nothing = view({Sheet({Kind::module})});
    const View one = view({Sheet({Kind::module}).row(Kind::module, "FAB1", well)});
    for (const char* sentence :
         {"every module up", "at most 1 module not operational", "at most 0 module present",
          "at least 1 module present", "not at least 1 module present"}) {
        const Judgement judged = truth(sentence, nothing, Inventory());
        EXPECT_EQ(judged.truth, U) << sentence;
        EXPECT_EQ(judged.because.reason, Reason::nothing_to_range_over) << sentence;
    }
    EXPECT_EQ(truth("every module except FAB1 up", one, Inventory()).truth, U);
}

TEST(count, compares_sure_and_possible_members_with_the_limit) {
    // One works, one surely not, one unclear.
    const View look = view({planes({{"1", 'u'}, {"2", 'd'}, {"3", '?'}})});
    const Inventory three = inventory({{Kind::plane, {"1", "2", "3"}}});
    struct {
        const char* sentence;
        Truth truth;
    } const table[] = {
        {"at most 0 plane not up", F},  {"at most 1 plane not up", U},
        {"at most 2 plane not up", T},  {"at most 0 plane up", F},
        {"at most 1 plane up", U},      {"at most 2 plane up", T},
        {"at least 1 plane up", T},     {"at least 2 plane up", U},
        {"at least 3 plane up", F},     {"at least 1 plane not up", T},
        {"at least 2 plane not up", U}, {"at least 3 plane not up", F},
    };
    for (const auto& row : table)
        EXPECT_EQ(truth(row.sentence, look, three).truth, row.truth) << row.sentence;
}

TEST(count, of_an_incomplete_list_can_be_exceeded_and_reached_only) {
    const View look = view({Sheet().row(Kind::plane, "1", off).row(Kind::plane, "2", off)});
    const Inventory two = inventory({{Kind::plane, {"1", "2"}}});
    EXPECT_EQ(truth("at most 1 plane not up", look, two).truth, F);
    EXPECT_EQ(truth("at most 2 plane not up", look, two).truth, U);
    EXPECT_EQ(truth("at least 2 plane down", look, two).truth, T);
    EXPECT_EQ(truth("at least 3 plane down", look, two).truth, U);
}

TEST(count, takes_an_absent_module_for_not_operational) {
    EXPECT_EQ(truth("at most 0 module not operational", view({modules}), slots).truth, F);
    EXPECT_EQ(truth("at most 1 module not operational", view({modules}), slots).truth, T);
    EXPECT_EQ(truth("at most 0 module down", view({modules}), slots).truth, U);
}

Facts grade(Severity severity) {
    return {{Attribute::severity, severity}};
}

TEST(no_alarm, over_a_whole_wholly_read_empty_list_is_true) {
    const Judgement none = truth("no alarm", view({Sheet({Kind::alarm})}), Inventory());
    EXPECT_EQ(none.truth, T);
    EXPECT_EQ(none.because.cites.size(), 1U);
    EXPECT_EQ(truth("no alarm at or above major", view({Sheet({Kind::alarm})}), Inventory()).truth,
              T);
}

TEST(no_alarm, over_a_list_that_may_be_longer_is_unknown) {
    EXPECT_EQ(truth("no alarm", view({Sheet({Kind::alarm}).unread("garbled")}), Inventory()).truth,
              U);
    EXPECT_EQ(truth("no alarm", view({Sheet({Kind::alarm}).cut()}), Inventory()).truth, U);
    EXPECT_EQ(truth("no alarm", view({Sheet()}), Inventory()).truth, U);
}

// The order of gravity is that of ITU-T X.733 perceived severity (from memory).
TEST(no_alarm, weighs_severity) {
    const auto look = [](const Facts& facts) {
        return view({Sheet({Kind::alarm}).row(Kind::alarm, "7", facts)});
    };
    struct {
        Facts facts;
        Truth any, major;
    } const table[] = {
        {grade(Severity::critical), F, F},
        {grade(Severity::major), F, F},
        {grade(Severity::minor), F, T},
        {grade(Severity::warning), F, T},
        {grade(Severity::indeterminate), F, U},
        {grade(Severity::cleared), T, T},
        {{{Attribute::severity, state::Unknown{}}}, U, U},
        {{}, F, U},
    };
    for (const auto& row : table) {
        EXPECT_EQ(truth("no alarm", look(row.facts), Inventory()).truth, row.any) << &row - table;
        EXPECT_EQ(truth("no alarm at or above major", look(row.facts), Inventory()).truth,
                  row.major)
            << &row - table;
    }
}

TEST(no_alarm, is_refuted_by_one_alarm_beside_an_unread_line) {
    Sheet sheet({Kind::alarm});
    sheet.row(Kind::alarm, "7", grade(Severity::major)).unread("garbled");
    EXPECT_EQ(truth("no alarm", view({sheet}), Inventory()).truth, F);
}

const Facts serves_3_and_4 = {{Attribute::serves, state::Names{"3", "4"}}};
const Inventory fabric = inventory({{Kind::module, {"FAB3"}}, {Kind::plane, {"1", "3", "4"}}});

TEST(served_by, ranges_over_the_planes_that_the_module_names) {
    const Sheet module = Sheet({Kind::module}).row(Kind::module, "FAB3", serves_3_and_4);
    const auto with = [&](char three, char four) {
        return view({module, planes({{"1", 'u'}, {"3", three}, {"4", four}})});
    };
    const char* sentence = "every plane served by module FAB3 shut";
    EXPECT_EQ(truth(sentence, with('s', 's'), fabric).truth, T);
    EXPECT_EQ(truth(sentence, with('s', 'd'), fabric).truth, F);
    EXPECT_EQ(truth(sentence, with('s', '?'), fabric).truth, U);
}

TEST(served_by, is_unknown_where_the_device_does_not_tell) {
    const Sheet all_shut = planes({{"1", 's'}, {"3", 's'}, {"4", 's'}});
    const char* sentence = "every plane served by module FAB3 shut";
    const auto module = [](const Facts& facts) {
        return Sheet({Kind::module}).row(Kind::module, "FAB3", facts);
    };
    EXPECT_EQ(truth(sentence, view({module({}), all_shut}), fabric).truth, U);
    EXPECT_EQ(
        truth(sentence, view({module({{Attribute::serves, state::Unknown{}}}), all_shut}), fabric)
            .truth,
        U);
    EXPECT_EQ(
        truth(sentence, view({module({{Attribute::serves, std::string("3")}}), all_shut}), fabric)
            .truth,
        U);
    EXPECT_EQ(
        truth(sentence, view({module({{Attribute::serves, state::Names{}}}), all_shut}), fabric)
            .truth,
        U);
    EXPECT_EQ(truth(sentence, view({Sheet({Kind::module}), all_shut}), fabric).truth, U)
        << "the module is gone";
    EXPECT_EQ(truth(sentence,
                    view({module({{Attribute::serves, state::Names{"3", "9"}}}), all_shut}), fabric)
                  .truth,
              U)
        << "plane 9 was never seen";
    EXPECT_EQ(
        truth(sentence, view({module(serves_3_and_4).unread("more"), all_shut}), fabric).truth, U);
}

TEST(served_by, covers_modules_of_a_fan_tray) {
    const Inventory there =
        inventory({{Kind::module, {"FAB1", "LINE2"}}, {Kind::fan_tray, {"TRAY1"}}});
    const Sheet tray =
        Sheet({Kind::fan_tray})
            .row(Kind::fan_tray, "TRAY1", {{Attribute::covers, state::Names{"FAB1"}}});
    const sentences::Condition asked{sentences::EveryIs{
        {Kind::module, {}, sentences::Named{Kind::fan_tray, "TRAY1"}}, sentences::Trade::up}};
    const View look = view({tray, modules});
    EXPECT_EQ(evaluate(asked, {look, there}).judgement.truth, T);
}

} // namespace
} // namespace slotwitness::witness::test
