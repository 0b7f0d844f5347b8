#include "bench.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

// What the procedure needs now, and what its own acts bring about.
namespace slotwitness::ready::test {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::IsSupersetOf;
using testing::Not;
using witness::Truth;

std::vector<std::string> conditions_of(const std::vector<Judged>& judged, Truth truth) {
    std::vector<std::string> texts;
    for (const Judged& each : judged)
        if (each.judgement.truth == truth)
            texts.push_back(each.condition);
    return texts;
}

TEST(ReadyConditions, nothing_holds_up_what_is_all_as_needed) {
    Bench bench;
    const Report report = bench.check();
    EXPECT_THAT(told(report, Weight::holds_up), IsEmpty());
    EXPECT_THAT(told(report, Weight::advice), IsEmpty());
    EXPECT_THAT(conditions_of(report.now, Truth::yes),
                IsSupersetOf({"module FAB3 present", "every plane except 3, 4 up",
                              "at least 1 controller standby hot-standby"}));
    EXPECT_EQ(conditions_of(report.now, Truth::yes).size(), report.now.size());
}

TEST(ReadyConditions, what_steps_bring_about_is_told_and_holds_nothing_up) {
    Bench bench;
    const Report report = bench.check();
    EXPECT_THAT(conditions_of(report.later, Truth::no),
                IsSupersetOf({"module FAB3 shut", "fan-tray TRAY2 absent", "module FAB3 absent"}));
    for (const Judged& each : report.later)
        if (each.condition == "module FAB3 shut") {
            EXPECT_THAT(each.of, ElementsAre("step shut-module, effect", "step pull-tray"));
        }
}

TEST(ReadyConditions, a_second_plane_down_is_told_once_with_all_that_need_it) {
    Bench bench;
    bench.order("engineer release plane 5");
    const Report report = bench.check();
    const Finding plane = about(report, "every plane except 3, 4 up");
    EXPECT_EQ(plane.weight, Weight::holds_up);
    EXPECT_THAT(plane.says, HasSubstr("fabric plane 5"));
    EXPECT_THAT(plane.needed_by, ElementsAre("rule other-planes", "step prepare"));
    EXPECT_THAT(plane.remedy, HasSubstr("Mend it before the work begins"));
    ASSERT_FALSE(plane.cites.empty());
    EXPECT_THAT(plane.cites.front().text, HasSubstr("released"));
    EXPECT_EQ(report.count(Weight::holds_up), 2U) << "it, and the capacity that it took away";
}

TEST(ReadyConditions, the_plane_of_the_module_itself_may_be_down) {
    Bench bench;
    bench.order("engineer release plane 3");
    EXPECT_THAT(told(bench.check(), Weight::holds_up), IsEmpty());
}

TEST(ReadyConditions, a_ready_check_comes_with_its_own_remedy) {
    Bench bench;
    bench.order("technician pull supply PSU1");
    bench.order("engineer lead controller CTL1");
    bench.answer("tell controllers", "SLOT  ROLE     CONDITION  SERIAL\n"
                                     "CTL0  cold     proving    QL40300041\n"
                                     "CTL1  leading  running    QL40300042\n");
    const Finding finding = about(bench.check(), "at least 1 controller standby hot-standby");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.needed_by,
                ElementsAre("ready check other-controller: The other controller can take over"));
    EXPECT_THAT(finding.remedy, HasSubstr("Let the other controller come up"));
}

TEST(ReadyConditions, a_component_that_nobody_knows_is_told_with_those_there_are) {
    Bench bench;
    bench.arguments["module"] = "FAB9";
    const Finding finding = about(bench.check(), "module FAB9 present");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.says, HasSubstr("names seen: FAB1, FAB2"));
    EXPECT_THAT(finding.needed_by, ElementsAre("parameter module"));
    EXPECT_THAT(finding.remedy, HasSubstr("as the device prints them"));
}

TEST(ReadyConditions, a_component_that_is_known_and_not_there_is_absent) {
    Bench bench;
    bench.inventory[state::Kind::module] = {"FAB9"};
    bench.arguments["module"] = "FAB9";
    const Finding finding = about(bench.check(), "module FAB9 present");
    EXPECT_THAT(finding.says, HasSubstr("not so"));
    EXPECT_THAT(finding.remedy, HasSubstr("It is absent"));
}

TEST(ReadyConditions, what_two_rows_say_of_a_component_is_not_known) {
    Bench bench;
    bench.order("fault contradict plane 6");
    const Finding finding = about(bench.check(), "every plane except 3, 4 up");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.says, HasSubstr("not known"));
    EXPECT_THAT(finding.remedy, HasSubstr("two things of one component"));
}

TEST(ReadyConditions, a_word_without_a_meaning_is_for_the_profile_to_say) {
    Bench bench;
    bench.rewrite_profile("carrying = \"oper enabled\"\n", "");
    const Finding finding = about(bench.check(), "every plane except 3, 4 up");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.remedy, HasSubstr("Say in the profile"));
}

TEST(ReadyConditions, a_sentence_that_the_family_cannot_answer_is_told_by_its_place) {
    Bench bench;
    bench.rewrite_profile("\"GIVING\"    = { as = \"quantity\", attribute = \"reading\", "
                          "required = false }",
                          "\"GIVING\"    = { as = \"ignored\" }");
    bench.add_to_procedure("\n[[ready]]\nname = \"power\"\nsay = \"Power is low\"\n"
                           "holds = \"every power-supply below 900 W\"\nremedy = \"Wait.\"\n");
    const Finding finding = about(bench.check(), "ready check power: Power is low");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.says, HasSubstr("no query reads reading of power-supply"));
}

TEST(ReadyConditions, a_rule_that_begins_later_holds_nothing_up_yet) {
    Bench bench;
    bench.add_to_procedure("\n[[rule]]\nname = \"planes-shut\"\nsay = \"They stay shut\"\n"
                           "holds = \"plane 3 shut\"\nfrom = \"pull-tray\"\n");
    const Report report = bench.check();
    EXPECT_THAT(told(report, Weight::holds_up), IsEmpty());
    EXPECT_THAT(conditions_of(report.later, Truth::no), Contains("plane 3 shut"));
}

TEST(ReadyConditions, a_rule_from_the_first_step_on_holds_it_up_now) {
    Bench bench;
    bench.add_to_procedure("\n[[rule]]\nname = \"planes-shut\"\nsay = \"They stay shut\"\n"
                           "holds = \"plane 3 shut\"\nfrom = \"prepare\"\n");
    EXPECT_EQ(about(bench.check(), "plane 3 shut").weight, Weight::holds_up);
}

TEST(ReadyConditions, where_nobody_acts_every_fact_is_needed_now) {
    Bench bench("health-check");
    bench.arguments = {{"inlet", "inlet"},
                       {"inlet-limit", "1 C by site rule 2"},
                       {"plane", "3"},
                       {"margin", "10 % by capacity plan 3"}};
    const Finding finding = about(bench.check(), "sensor inlet below 1 C");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.needed_by, ElementsAre("step air-and-power"));
}

TEST(ReadyConditions, this_look_stands_for_the_baseline) {
    Bench bench;
    bench.add_to_procedure("\n[[rule]]\nname = \"ports\"\nsay = \"Ports stay up\"\n"
                           "holds = \"every port up in baseline is up\"\n");
    const Report report = bench.check();
    EXPECT_THAT(told(report, Weight::holds_up), IsEmpty());
    EXPECT_THAT(report.cannot_see, Contains(HasSubstr("The baseline: this look stands for it")));
}

TEST(ReadyConditions, what_one_look_cannot_tell_is_advice) {
    Bench bench;
    bench.add_to_procedure("\n[[rule]]\nname = \"errors\"\nsay = \"No errors\"\n"
                           "holds = \"errors of every plane except 3, 4 not rising\"\n");
    const Finding finding = about(bench.check(), "errors of every plane except 3, 4 not rising");
    EXPECT_EQ(finding.weight, Weight::advice);
    EXPECT_THAT(finding.says, HasSubstr("not known"));
    EXPECT_THAT(finding.remedy, HasSubstr("One look cannot tell"));
}

TEST(ReadyConditions, capacity_is_told_in_figures) {
    Bench bench;
    // Four planes of 3.2 Tb/s are left: 12.8 against 9 and a tenth (by hand: 9.9).
    const Finding covered = about(bench.check(), "capacity");
    EXPECT_EQ(covered.weight, Weight::as_needed);
    EXPECT_THAT(covered.says, HasSubstr("at least 12.8 Tb/s of capacity against 9 Tb/s of stated"));
    bench.peak_load = units::Decimal::of(12, 12); // 13.2 with the margin
    const Finding lacking =
        about(bench.check(),
              "capacity without every plane served by module FAB3 covers load with 10 % margin");
    EXPECT_EQ(lacking.weight, Weight::holds_up);
    EXPECT_THAT(lacking.says, HasSubstr("at most 12.8 Tb/s of capacity against 12 Tb/s"));
    EXPECT_THAT(lacking.remedy, HasSubstr("Move traffic away"));
}

TEST(ReadyConditions, a_peak_that_nobody_states_holds_up_what_counts_on_capacity) {
    Bench bench;
    bench.peak_load.reset();
    const Finding finding = about(bench.check(), "peak load");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.needed_by, ElementsAre("step prepare"));
    EXPECT_THAT(finding.remedy, HasSubstr("[chassis.peak]"));
    Bench tray("replace-fan-tray");
    tray.peak_load.reset();
    tray.arguments["spare-part"] = "QT-3";
    tray.arguments["inlet"] = "inlet";
    tray.arguments["inlet-limit"] = "40 C by site rule 2";
    EXPECT_THAT(told(tray.check(), Weight::holds_up), IsEmpty()) << "it compares no capacity";
}

TEST(ReadyConditions, planes_that_the_module_does_not_serve_are_asked_about) {
    Bench bench;
    bench.arguments["planes"] = "4, 5";
    const Report report = bench.check();
    const Finding finding = about(report, "parameter planes");
    EXPECT_EQ(finding.weight, Weight::advice);
    EXPECT_THAT(finding.says, HasSubstr("module FAB3 serves 4, and not 5"));
    EXPECT_THAT(finding.remedy, HasSubstr("3, 4"));
}

TEST(ReadyConditions, the_work_slot_is_told_as_its_label_should_read) {
    Bench bench;
    EXPECT_THAT(about(bench.check(), "work slot").says,
                testing::AllOf(HasSubstr("label REAR 3"), HasSubstr("serial QL40100013")));
}

TEST(ReadyConditions, changes_that_wait_can_be_asked_for_where_the_device_tells_of_them) {
    Bench bench;
    bench.add_to_profile("\n[words.waiting]\n\"none\" = \"sensor-status ok\"\n"
                         "[query.changes]\nask = [\"tell\", \"changes\"]\nkind = \"sensor\"\n"
                         "layout = \"record\"\nname-is = \"waiting-changes\"\n"
                         "[query.changes.record]\nlabels = [\"Waiting\"]\n"
                         "[query.changes.cells]\n"
                         "\"Waiting\" = { as = \"word\", words = \"waiting\" }\n");
    bench.add_to_procedure("\n[[ready]]\nname = \"no-changes\"\n"
                           "say = \"No change waits to be confirmed\"\n"
                           "holds = \"sensor waiting-changes sensor-status ok\"\n"
                           "remedy = \"Confirm it, or let it roll back.\"\n");
    bench.answer("tell changes", "Waiting: none\n");
    EXPECT_THAT(told(bench.check(), Weight::holds_up), IsEmpty());
    bench.answer("tell changes", "Waiting: 1\n");
    const Finding finding = about(bench.check(), "sensor waiting-changes sensor-status ok");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_EQ(finding.remedy, "Confirm it, or let it roll back.");
}

TEST(ReadyConditions, without_ready_checks_it_says_what_nobody_looked_at) {
    Bench bench;
    EXPECT_THAT(bench.check().cannot_see, Not(Contains(HasSubstr("states no [[ready]] check"))));
    Bench health("health-check");
    health.arguments = {{"inlet", "inlet"},
                        {"inlet-limit", "40 C by site rule 2"},
                        {"plane", "3"},
                        {"margin", "10 % by capacity plan 3"}};
    EXPECT_THAT(health.check().cannot_see, Contains(HasSubstr("states no [[ready]] check")));
}

} // namespace
} // namespace slotwitness::ready::test
