#include <slotwitness/timeline/timeline.hpp>

#include <gtest/gtest.h>

namespace slotwitness::timeline {
namespace {

using namespace std::chrono_literals;
using namespace witness;
using state::AdminState;
using state::Attribute;
using state::Kind;
using state::OperState;

Instant after(units::Duration time) {
    return Instant(1'000'000ms) + time;
}

state::Row plane(std::string name, AdminState admin, OperState oper) {
    return {Kind::plane,
            std::move(name),
            {1, 1},
            "",
            {{Attribute::admin, {admin, {1, 3}}}, {Attribute::oper, {oper, {1, 9}}}}};
}
const state::Row up = plane("3", AdminState::unlocked, OperState::enabled);
const state::Row shut = plane("3", AdminState::locked, OperState::disabled);
const state::Row other = plane("4", AdminState::unlocked, OperState::enabled);

class chassis_over_time : public testing::Test {
  protected:
    void look(units::Duration time, std::vector<state::Row> rows, bool whole = true,
              std::vector<state::UnreadLine> unread = {}) {
        auto reading = std::make_shared<state::Reading>();
        reading->whole = whole;
        reading->lists = {Kind::plane};
        reading->rows = std::move(rows);
        reading->unread = std::move(unread);
        timeline.take({after(time), Answered{1,
                                             "planes",
                                             after(time),
                                             std::string(64, 'a'),
                                             {whole, whole ? 0 : 1, "cut"},
                                             std::move(reading)}},
                      {});
    }
    [[nodiscard]] Told told(const std::string& name = "3") const {
        for (const Part& part : timeline.shown().parts)
            if (part.component.name == name)
                return part.told;
        ADD_FAILURE() << "no part " << name;
        return {};
    }
    [[nodiscard]] std::vector<Span> spans(const TrackName& name = {"plane", "3"}) const {
        for (const Tracks::Shown& shown : timeline.shown().tracks)
            if (shown.track == name)
                return shown.spans;
        return {};
    }
    Timeline timeline{60s};
};

TEST_F(chassis_over_time, shows_each_part_in_the_words_of_gates) {
    look(0s, {up, other});
    EXPECT_EQ(told().condition, Condition::operational);
    look(2s, {shut, other});
    EXPECT_EQ(told().condition, Condition::shut);
    look(4s, {plane("3", AdminState::unlocked, OperState::disabled), other});
    EXPECT_EQ(told().condition, Condition::down);
    look(6s, {plane("3", AdminState::unlocked, OperState::testing), other});
    EXPECT_EQ(told().condition, Condition::starting);
    state::Row fewer = up;
    fewer.facts[Attribute::links_usable] = {units::Quantity{*units::Decimal::parse("8")}, {}};
    fewer.facts[Attribute::links_total] = {units::Quantity{*units::Decimal::parse("16")}, {}};
    look(8s, {fewer, other});
    EXPECT_EQ(told().condition, Condition::degraded);
    look(10s, {other});
    EXPECT_EQ(told().condition, Condition::absent);
    EXPECT_EQ(spans().size(), 6U);
    EXPECT_EQ(told("4").condition, Condition::operational);
    EXPECT_EQ(spans({"plane", "4"}), (std::vector<Span>{{after(0s), after(10s), "operational"}}));
}

TEST_F(chassis_over_time, takes_nothing_for_certain_that_a_gate_would_not) {
    look(0s, {up});
    look(2s, {up}, false);
    EXPECT_EQ(told().condition, Condition::unknown);
    EXPECT_FALSE(told().why.empty());
    look(4s, {up, shut}); // two rows that disagree
    EXPECT_EQ(told().condition, Condition::unknown);
    look(6s, {up}, true, {{2, "?? 3 ??", 1, "a plane"}}); // a line that names it
    EXPECT_EQ(told().condition, Condition::unknown);
    look(8s, {other}, true, {{2, "?? ??", 1, "a plane"}}); // it may stand in the line
    EXPECT_EQ(told().condition, Condition::unknown);
}

TEST_F(chassis_over_time, says_at_once_that_a_look_brought_no_answer) {
    look(0s, {up});
    timeline.take({after(2s), Failed{2, "planes", after(1s), NoAnswer::session_lost, "it dropped"}},
                  {});
    EXPECT_EQ(told().condition, Condition::unknown);
    EXPECT_EQ(told().why, "The last look brought no answer: it dropped");
    look(4s, {up});
    EXPECT_EQ(spans(), (std::vector<Span>{{after(0s), after(0s), "operational"},
                                          {after(4s), after(4s), "operational"}}));
    timeline.take({after(6s), Failed{3, "modules", after(5s), NoAnswer::timed_out, ""}}, {});
    EXPECT_EQ(told().condition, Condition::operational);
}

/// What is the same in print need not be the same.
TEST_F(chassis_over_time, judges_again_what_only_looks_the_same) {
    const auto serving = [](state::Names names) {
        state::Row row = up;
        row.facts.emplace(Attribute::serves, state::Fact{std::move(names), {1, 20}});
        return row;
    };
    look(0s, {serving({"A", "B"}), serving({"A", "B"})});
    EXPECT_EQ(told().condition, Condition::operational);
    look(5s, {serving({"A", "B"}), serving({"A, B"})});
    EXPECT_EQ(told().condition, Condition::unknown) << "the rows disagree";
}

TEST_F(chassis_over_time, learns_nothing_of_parts_from_an_answer_about_something_else) {
    look(0s, {up});
    auto ports = std::make_shared<state::Reading>();
    ports->whole = true;
    ports->lists = {Kind::port};
    timeline.take({after(5s), Answered{2, "ports", after(5s), "", {true, 0, ""}, ports}}, {});
    EXPECT_EQ(told().condition, Condition::operational);
    EXPECT_EQ(timeline.shown().parts.size(), 1U);
    EXPECT_EQ(timeline.shown().parts.front().at, after(0s));
}

TEST_F(chassis_over_time, takes_confidence_back_at_once) {
    look(0s, {up});
    timeline.lose("The disk is full.");
    EXPECT_EQ(told().condition, Condition::unknown);
    EXPECT_EQ(told().why, "The disk is full.");
    look(2s, {up});
    EXPECT_EQ(told().condition, Condition::operational);
    EXPECT_EQ(spans().size(), 2U);
}

TEST_F(chassis_over_time, keeps_over_a_start_of_the_daemon_only_which_parts_are_to_be_missed) {
    look(0s, {up});
    RunStarted run;
    run.inventory[Kind::plane] = {"5"};
    timeline.take({after(2s), run}, {});
    EXPECT_EQ(told().condition, Condition::unknown);
    EXPECT_EQ(told("5").condition, Condition::unknown);
    look(4s, {other});
    EXPECT_EQ(told().condition, Condition::absent);
    EXPECT_EQ(told("5").condition, Condition::absent);
    EXPECT_EQ(spans().front(), (Span{after(0s), after(0s), "operational"}));
    EXPECT_EQ(timeline.shown().marks.front().what, "the daemon began anew");
}

TEST_F(chassis_over_time, remembers_what_is_printed_where_a_part_was) {
    state::Row labelled = up;
    labelled.facts[Attribute::label] = {std::string("REAR 3"), {1, 20}};
    look(0s, {labelled});
    look(2s, {other});
    EXPECT_EQ(told().condition, Condition::absent);
    EXPECT_EQ(timeline.shown().parts.front().label, "REAR 3");
}

TEST_F(chassis_over_time, has_what_people_did_and_not_what_was_refused) {
    const StepReleased released{{"p1", "pull", 3, "A. Person"}};
    timeline.take({after(0s), released}, {ProcedureRefused{"p1", {}}});
    EXPECT_TRUE(timeline.shown().marks.empty());
    timeline.take({after(1s), released}, {});
    timeline.take({after(2s), StepConfirmed{{"p1", "pull", 4, "A. Person"}, "G. Hand", "K7F"}}, {});
    EXPECT_EQ(timeline.shown().marks,
              (std::vector<Mark>{{after(1s), "released", "p1", "pull", "A. Person", ""},
                                 {after(2s), "confirmed", "p1", "pull", "A. Person", "G. Hand"}}));
}

TEST_F(chassis_over_time, has_gates_and_words_until_another_is_told) {
    GateFinding gate;
    gate.id = "g7";
    timeline.take({after(0s), Tick{}}, {gate});
    gate.verdict = Verdict::pass;
    gate.standing = Standing::met;
    timeline.take({after(600s), Tick{}}, {gate});
    gate.standing.reset();
    gate.retired = true;
    timeline.take({after(700s), Tick{}}, {gate});
    EXPECT_EQ(spans({"gate", "g7"}), (std::vector<Span>{{after(0s), after(0s), "pending"},
                                                        {after(600s), after(600s), "met"},
                                                        {after(700s), after(700s), "pass"}}));
    ProcedureFinding procedure;
    procedure.id = "p1";
    timeline.take({after(0s), Tick{}}, {procedure});
    timeline.take({after(900s), Tick{}}, {procedure});
    EXPECT_EQ(spans({"procedure", "p1"}), (std::vector<Span>{{after(0s), after(900s), "WAIT"}}));
}

TEST_F(chassis_over_time, has_each_run_of_a_cooling_clock_once) {
    CoolingFinding clock;
    clock.procedure = "p1";
    timeline.take({after(0s), Tick{}}, {clock});
    EXPECT_TRUE(timeline.shown().clocks.empty());
    clock.began = after(1s);
    clock.limit = after(600s);
    timeline.take({after(1s), Tick{}}, {clock});
    clock.ended = after(300s);
    timeline.take({after(300s), Tick{}}, {clock});
    ASSERT_EQ(timeline.shown().clocks.size(), 1U);
    EXPECT_EQ(timeline.shown().clocks.front().ended, after(300s));
}

TEST_F(chassis_over_time, follows_the_sensors_that_a_clock_goes_by_within_bounds) {
    timeline = Timeline(60s, {.looks = 4});
    const auto sensor = [&](int time, std::int64_t celsius, units::Unit unit) {
        state::Row row{Kind::sensor, "core", {1, 1}, "", {}};
        row.facts[Attribute::reading] = {units::Quantity{*units::Decimal::of(celsius, 0), unit},
                                         {1, 1}};
        look(time * 1s, {row});
    };
    sensor(0, 40, units::Unit::celsius);
    ProcedureOpened opened;
    opened.id = "p1";
    opened.cooling.emplace().warm = {{"core", *units::Decimal::parse("92"), {"planes"}, 0ms}};
    timeline.take({after(1s), opened}, {});
    sensor(2, 41, units::Unit::celsius);
    sensor(3, 5'000, units::Unit::rpm);
    EXPECT_EQ(timeline.shown().sensors.front().looks,
              (std::vector<Warmth>{{after(2s), *units::Decimal::parse("41")}}));
    for (int time = 4; time <= 7; ++time)
        sensor(time, 38 + time, units::Unit::celsius);
    EXPECT_EQ(timeline.shown().sensors.front().looks,
              (std::vector<Warmth>{{after(6s), *units::Decimal::parse("44")},
                                   {after(7s), *units::Decimal::parse("45")}}));
}

TEST_F(chassis_over_time, shows_a_sensor_with_the_limit_that_the_device_states_once_it_does) {
    const auto celsius = [](std::int64_t value) {
        return state::Fact{units::Quantity{*units::Decimal::of(value, 0), units::Unit::celsius},
                           {1, 1}};
    };
    ProcedureOpened opened;
    opened.id = "p1";
    opened.cooling.emplace().warm = {{"core", std::nullopt, {"planes"}, 0ms}};
    timeline.take({after(1s), opened}, {});
    state::Row row{Kind::sensor, "core", {1, 1}, "", {{Attribute::reading, celsius(41)}}};
    look(2s, {row});
    EXPECT_TRUE(timeline.shown().sensors.empty());
    row.facts[Attribute::limit] = celsius(85);
    look(4s, {row});
    ASSERT_EQ(timeline.shown().sensors.size(), 1U);
    EXPECT_EQ(timeline.shown().sensors.front().hottest, units::Decimal::of(85, 0));
    EXPECT_EQ(timeline.shown().sensors.front().looks.size(), 2U);
}

TEST_F(chassis_over_time, judges_again_once_an_answer_says_something_else) {
    look(0s, {up, other});
    look(2s, {up, other});
    EXPECT_EQ(spans(), (std::vector<Span>{{after(0s), after(2s), "operational"}}));
    state::Row labelled = up;
    labelled.facts[Attribute::label] = {std::string("SLOT 3"), {1, 1}};
    look(4s, {labelled, other});
    EXPECT_EQ(timeline.shown().parts.front().label, "SLOT 3");
    look(6s, {labelled, other}, false); // the same rows, of an answer that was cut
    EXPECT_EQ(told().condition, Condition::unknown);
    look(8s, {labelled, other});
    EXPECT_EQ(told().condition, Condition::operational);
    look(10s, {labelled});
    EXPECT_EQ(told("4").condition, Condition::absent);
}

TEST_F(chassis_over_time, misses_a_part_that_became_known_between_two_same_answers) {
    look(0s, {up});
    RunStarted run;
    run.inventory = {{Kind::plane, {"3", "7"}}};
    timeline.take({after(1s), run}, {});
    look(2s, {up});
    EXPECT_EQ(told("7").condition, Condition::absent);
}

TEST_F(chassis_over_time, ends_at_a_bound_where_a_device_tells_ever_new_names) {
    timeline = Timeline(60s, {.parts = 2});
    look(0s, {plane("a", AdminState::unlocked, OperState::enabled), up, other});
    EXPECT_EQ(timeline.shown().parts.size(), 2U);
}

} // namespace
} // namespace slotwitness::timeline
