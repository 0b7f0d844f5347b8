#include "world.hpp"

#include <slotwitness/witness/predicate.hpp>

#include <gtest/gtest.h>

#include <array>
#include <map>

namespace slotwitness::witness::test {
namespace {

using state::AdminState;
using state::OperState;

Judgement of_module(const std::string& words, const Facts& facts) {
    const View look = view({Sheet({Kind::module}).row(Kind::module, "FAB3", facts)});
    return truth("module FAB3 " + words, look, inventory({{Kind::module, {"FAB3"}}}));
}

struct Row {
    OperState oper;
    AdminState admin;
    Truth up, down, shut, starting, degraded;
};

// The trade's words over the states of RFC 8348, section 7.1: every pair of admin-state and
// oper-state. The device tells no links, so it is not known to be degraded.
constexpr Row rows[] = {
    {OperState::unknown, AdminState::unknown, U, U, U, U, U},
    {OperState::unknown, AdminState::locked, U, U, U, U, U},
    {OperState::unknown, AdminState::shutting_down, U, U, F, U, U},
    {OperState::unknown, AdminState::unlocked, U, U, F, U, U},
    {OperState::disabled, AdminState::unknown, F, T, U, F, F},
    {OperState::disabled, AdminState::locked, F, T, T, F, F},
    {OperState::disabled, AdminState::shutting_down, F, T, F, F, F},
    {OperState::disabled, AdminState::unlocked, F, T, F, F, F},
    {OperState::enabled, AdminState::unknown, T, F, F, F, U},
    {OperState::enabled, AdminState::locked, T, F, F, F, U},
    {OperState::enabled, AdminState::shutting_down, T, F, F, F, U},
    {OperState::enabled, AdminState::unlocked, T, F, F, F, U},
    {OperState::testing, AdminState::unknown, F, F, F, T, F},
    {OperState::testing, AdminState::locked, F, F, F, T, F},
    {OperState::testing, AdminState::shutting_down, F, F, F, T, F},
    {OperState::testing, AdminState::unlocked, F, F, F, T, F},
};

TEST(trade_words, hold_over_every_pair_of_admin_and_oper_state) {
    for (const Row& row : rows) {
        const Facts state = facts(row.admin, row.oper);
        SCOPED_TRACE(std::string(state::to_word(row.admin)) + " " +
                     std::string(state::to_word(row.oper)));
        EXPECT_EQ(of_module("up", state).truth, row.up);
        EXPECT_EQ(of_module("operational", state).truth, row.up);
        EXPECT_EQ(of_module("down", state).truth, row.down);
        EXPECT_EQ(of_module("shut", state).truth, row.shut);
        EXPECT_EQ(of_module("starting", state).truth, row.starting);
        EXPECT_EQ(of_module("degraded", state).truth, row.degraded);
        EXPECT_EQ(of_module("present", state).truth, T);
        EXPECT_EQ(of_module("absent", state).truth, F);
    }
}

TEST(is_operational, says_what_the_sentence_says_of_whole_answers) {
    const std::vector<Facts> told{
        {},
        facts(AdminState::unlocked, OperState::enabled),
        facts(AdminState::unlocked, OperState::disabled),
        facts(AdminState::unlocked, OperState::unknown),
        {{Attribute::oper, OperState::enabled},
         {Attribute::links_usable, quantity("3")},
         {Attribute::links_total, quantity("4")}},
        {{Attribute::oper, OperState::enabled}, {Attribute::links_usable, quantity("4")}}};
    std::map<Truth, int> met;
    for (const Facts& first : told)
        for (const Facts& second : told) {
            const Sheet once = Sheet({Kind::module}).row(Kind::module, "FAB3", first);
            const Sheet again = Sheet({Kind::module}).row(Kind::module, "FAB3", second);
            const std::array looks{view({once}),
                                   view({once, again}),
                                   view({once, Sheet(again).cut()}),
                                   view({Sheet(once).unread("FAB3 ~~")}),
                                   view({Sheet(once).unread("~~")}),
                                   view({once}, {Silent{"planes", NoAnswer::timed_out, ""}})};
            for (std::size_t n = 0; n < looks.size(); ++n) {
                const Truth said = judge(looks[n], Trust::whole_answers, Inventory(),
                                         {Kind::module, "FAB3"}, sentences::Trade::operational)
                                       .truth;
                EXPECT_EQ(is_operational(looks[n], {Kind::module, "FAB3"}), said) << n;
                ++met[said];
            }
        }
    EXPECT_EQ(met.size(), 3U) << "each truth has come about";
}

TEST(trade_words, over_a_listed_component_without_facts_are_unknown) {
    for (const char* word : {"up", "operational", "down", "shut", "starting", "degraded"}) {
        const Judgement one = of_module(word, {});
        EXPECT_EQ(one.truth, U) << word;
        EXPECT_EQ(one.because.reason, Reason::fact_missing) << word;
    }
    EXPECT_EQ(of_module("present", {}).truth, T);
}

TEST(trade_words, degraded_is_enabled_with_less_than_all_links) {
    const auto with_links = [](OperState oper, state::Value usable, state::Value total) {
        return Facts{{Attribute::oper, oper},
                     {Attribute::links_usable, usable},
                     {Attribute::links_total, total}};
    };
    const auto n = [](const char* text) { return quantity(text); };
    struct {
        Facts facts;
        Truth up, degraded;
    } const cases[] = {
        {with_links(OperState::enabled, n("4"), n("4")), T, F},
        {with_links(OperState::enabled, n("3"), n("4")), F, T},
        {with_links(OperState::enabled, n("0"), n("4")), F, T},
        {with_links(OperState::disabled, n("0"), n("4")), F, F},
        {with_links(OperState::unknown, n("3"), n("4")), F,
         U}, // degraded or not enabled: not up in any case
        {with_links(OperState::unknown, n("4"), n("4")), U, F},
        // Told but not understood is not the same as not told: up would hide what stands there.
        {with_links(OperState::enabled, state::Unknown{}, n("4")), U, U},
        {with_links(OperState::enabled, n("4"), state::Unknown{}), U, U},
        {with_links(OperState::enabled, n("5"), n("4")), U, U},
        {with_links(OperState::enabled, n("4 W"), n("4")), U, U},
        {{{Attribute::oper, OperState::enabled}, {Attribute::links_usable, n("3")}}, T, U},
    };
    for (const auto& one : cases) {
        EXPECT_EQ(of_module("up", one.facts).truth, one.up) << &one - cases;
        EXPECT_EQ(of_module("degraded", one.facts).truth, one.degraded) << &one - cases;
    }
}

TEST(trade_words, links_that_a_failed_query_would_have_told_leave_up_unknown) {
    const View look = view(
        {Sheet({Kind::module}).row(Kind::module, "FAB3", {{Attribute::oper, OperState::enabled}})},
        {{"links", NoAnswer::timed_out, ""}});
    const Judgement up = truth("module FAB3 up", look, inventory({{Kind::module, {"FAB3"}}}));
    EXPECT_EQ(up.truth, U);
    EXPECT_EQ(up.because.reason, Reason::no_answer);
}

TEST(standard_words, compare_the_one_fact) {
    const Facts state = facts(AdminState::locked, OperState::disabled);
    EXPECT_EQ(of_module("admin locked", state).truth, T);
    EXPECT_EQ(of_module("admin unlocked", state).truth, F);
    EXPECT_EQ(of_module("oper disabled", state).truth, T);
    EXPECT_EQ(of_module("oper enabled", state).truth, F);
    EXPECT_EQ(of_module("standby hot-standby", state).truth, U);
}

TEST(standard_words, the_devices_own_unknown_is_unknown_even_when_asked_for) {
    const sentences::Condition asked{sentences::OneIs{
        {Kind::module, "FAB3"}, sentences::Standard{Attribute::oper, OperState::unknown}}};
    const Inventory there = inventory({{Kind::module, {"FAB3"}}});
    const auto judge = [&](OperState told) {
        const View look =
            view({Sheet({Kind::module}).row(Kind::module, "FAB3", {{Attribute::oper, told}})});
        return evaluate(asked, {look, there}).judgement;
    };
    EXPECT_EQ(judge(OperState::unknown).truth, U);
    EXPECT_EQ(judge(OperState::unknown).because.reason, Reason::unknown_word);
    EXPECT_EQ(judge(OperState::enabled).truth, F);
}

TEST(standard_words, a_word_of_another_type_is_unknown) {
    EXPECT_EQ(of_module("admin locked", {{Attribute::admin, std::string("locked")}}).truth, U);
}

// A fact holds the gravest alarm bit only (RFC 8348 alarm-state is a set of bits).
TEST(standard_words, a_graver_alarm_leaves_lesser_ones_unknown) {
    using state::AlarmState;
    EXPECT_EQ(of_module("alarm major", {{Attribute::alarm, AlarmState::major}}).truth, T);
    EXPECT_EQ(of_module("alarm major", {{Attribute::alarm, AlarmState::minor}}).truth, F);
    EXPECT_EQ(of_module("alarm major", {{Attribute::alarm, AlarmState::critical}}).truth, U);
    EXPECT_EQ(of_module("alarm major", {{Attribute::alarm, AlarmState::under_repair}}).truth, U);
}

Judgement of_sensor(const std::string& words, const Facts& facts) {
    const View look = view({Sheet({Kind::sensor}).row(Kind::sensor, "inlet", facts)});
    return truth("sensor inlet " + words, look, inventory({{Kind::sensor, {"inlet"}}}));
}

TEST(measured_values, compare_at_the_boundary) {
    const auto reads = [](const char* value) {
        return Facts{{Attribute::reading, quantity(value)}};
    };
    EXPECT_EQ(of_sensor("below 45 C", reads("44.9 C")).truth, T);
    EXPECT_EQ(of_sensor("below 45 C", reads("45 C")).truth, F);
    EXPECT_EQ(of_sensor("at most 45 C", reads("45 C")).truth, T);
    EXPECT_EQ(of_sensor("at most 45 C", reads("45.1 C")).truth, F);
    EXPECT_EQ(of_sensor("above 45 C", reads("45 C")).truth, F);
    EXPECT_EQ(of_sensor("above 45 C", reads("45.1 C")).truth, T);
    EXPECT_EQ(of_sensor("at least 45 C", reads("45 C")).truth, T);
    EXPECT_EQ(of_sensor("at least 45 C", reads("44.9 C")).truth, F);
}

TEST(measured_values, in_another_unit_are_unknown) {
    EXPECT_EQ(of_sensor("below 45 C", {{Attribute::reading, quantity("30")}}).truth, U);
    EXPECT_EQ(of_sensor("below 45 C", {{Attribute::reading, quantity("30 W")}}).truth, U);
    EXPECT_EQ(of_sensor("below 45 C", {{Attribute::reading, std::string("30 C")}}).truth, U);
    EXPECT_EQ(of_sensor("below 45 C", {}).truth, U);
}

// RFC 8348, sensor-value: -1000000000 is underflow, 1000000000 overflow.
TEST(measured_values, that_mean_underflow_or_overflow_are_unknown) {
    EXPECT_EQ(of_sensor("below 45 C", {{Attribute::reading, quantity("-1000000000 C")}}).truth, U);
    EXPECT_EQ(of_sensor("above 45 C", {{Attribute::reading, quantity("1000000000 C")}}).truth, U);
    EXPECT_EQ(of_sensor("above 45 C", {{Attribute::reading, quantity("999999999 C")}}).truth, T);
}

TEST(measured_values, a_rate_of_a_gigabit_is_no_overflow) {
    const View look = view(
        {Sheet({Kind::port}).row(Kind::port, "eth1", {{Attribute::load, quantity("1 Gb/s")}})});
    EXPECT_EQ(truth("port eth1 below 2 Gb/s", look, inventory({{Kind::port, {"eth1"}}})).truth, T);
}

// RFC 8348 sensor oper-status: unavailable and nonoperational sensors have no value.
TEST(measured_values, of_a_sensor_that_is_not_ok_are_unknown) {
    using state::SensorStatus;
    const auto with = [](state::Value status) {
        return Facts{{Attribute::reading, quantity("30 C")}, {Attribute::sensor_status, status}};
    };
    EXPECT_EQ(of_sensor("below 45 C", with(SensorStatus::ok)).truth, T);
    EXPECT_EQ(of_sensor("below 45 C", with(SensorStatus::unavailable)).truth, U);
    EXPECT_EQ(of_sensor("below 45 C", with(SensorStatus::nonoperational)).truth, U);
    EXPECT_EQ(of_sensor("below 45 C", with(state::Unknown{})).truth, U);
    EXPECT_EQ(of_sensor("above 45 C", with(SensorStatus::unavailable)).truth, U);
}

TEST(measured_values, are_each_kinds_own) {
    const View look = view({Sheet({Kind::fan_tray})
                                .row(Kind::fan_tray, "TRAY1",
                                     {{Attribute::speed, quantity("7200 rpm")},
                                      {Attribute::reading, quantity("1 rpm")}})});
    EXPECT_EQ(
        truth("fan-tray TRAY1 at least 7200 rpm", look, inventory({{Kind::fan_tray, {"TRAY1"}}}))
            .truth,
        T);
}

TEST(reasons, cite_the_line_of_the_fact) {
    Sheet sheet({Kind::module});
    sheet.row(Kind::module, "FAB1", facts(AdminState::unlocked, OperState::enabled));
    sheet.row(Kind::module, "FAB3", facts(AdminState::locked, OperState::disabled));
    const Judgement shut =
        truth("module FAB3 shut", view({sheet}), inventory({{Kind::module, {"FAB1", "FAB3"}}}));
    ASSERT_EQ(shut.truth, T);
    EXPECT_EQ(shut.because.reason, Reason::true_now);
    EXPECT_EQ(shut.because.text, "The device reports module FAB3: admin locked, oper disabled.");
    ASSERT_EQ(shut.because.cites.size(), 2U);
    EXPECT_EQ(shut.because.cites[0].asking, "query1");
    EXPECT_EQ(shut.because.cites[0].capture, "capture-of-query1");
    EXPECT_EQ(shut.because.cites[0].at, (state::Position{2, 7}));
    EXPECT_EQ(shut.because.cites[0].text, "FAB3  locked  disabled");
}

TEST(reasons, cite_the_continuation_line_where_the_fact_stands) {
    const state::Row row{Kind::module, "FAB3", {7, 1}, "FAB3  a long\n      name  disabled", {}};
    EXPECT_EQ(line_at(row, {7, 1}), "FAB3  a long");
    EXPECT_EQ(line_at(row, {8, 13}), "      name  disabled");
    EXPECT_EQ(line_at(row, {9, 1}), row.text);
}

TEST(reasons, say_fabric_plane_in_full) {
    const Judgement one =
        truth("plane 3 shut", view({shut}), inventory({{Kind::plane, {"1", "2", "3"}}}));
    EXPECT_EQ(one.because.text, "The device reports fabric plane 3: admin locked, oper disabled.");
}

} // namespace
} // namespace slotwitness::witness::test
