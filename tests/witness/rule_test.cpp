#include "job.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

using testing::HasSubstr;

TEST(rule, that_is_lost_stops_the_work_with_its_own_advice) {
    Job job;
    job.look(1'000);
    EXPECT_EQ(job.rule("others").truth, T);
    job.device.plane_2 = 'd';
    job.look(2'000);
    EXPECT_TRUE(job.rule("others").lost);
    EXPECT_EQ(job.told().word, Word::stop);
    EXPECT_EQ(job.told().advice, (Advice{"call", "advice of others"}));
    EXPECT_THAT(job.told().text, HasSubstr("fabric plane 2"));
}

TEST(rule, that_is_lost_stays_lost_until_a_named_person_answers) {
    Job job;
    job.device.plane_2 = 'd';
    job.look(1'000);
    job.device.plane_2 = 'u';
    job.look(2'000);
    EXPECT_EQ(job.rule("others").truth, T);
    EXPECT_EQ(job.told().word, Word::stop);
    job.act(2'500, StopAnswered{"job", StopAnswered::Of::rule, "others", "", "it flapped"});
    EXPECT_EQ(job.told().word, Word::stop);
    job.act(2'500, StopAnswered{"job", StopAnswered::Of::rule, "others", "Ada", "it flapped"});
    EXPECT_EQ(job.told().word, Word::wait);
    EXPECT_EQ(job.rule("others").answered_by, "Ada");
}

TEST(rule, that_is_answered_but_not_back_is_a_call_and_lost_anew_only_after_it_was_back) {
    Job job;
    job.device.plane_2 = 'd';
    job.look(1'000);
    job.act(1'500, StopAnswered{"job", StopAnswered::Of::rule, "others", "Ada", "known"});
    job.look(2'000);
    EXPECT_FALSE(job.rule("others").lost);
    EXPECT_EQ(job.told().word, Word::call);
    job.device.plane_2 = 'u';
    job.look(3'000);
    EXPECT_EQ(job.told().word, Word::wait);
    job.device.plane_2 = 'd';
    job.look(4'000);
    EXPECT_EQ(job.told().word, Word::stop);
}

TEST(rule, is_lost_at_the_first_answer_that_shows_it_before_the_round_ends) {
    ProcedureOpened opening = small_job();
    opening.rules[0].holds = {"every plane except 3 up and fan-tray B operational",
                              {"planes", "trays"},
                              ms(6'000),
                              ms(0)};
    Job job(opening);
    job.begin(1'000, {"planes", "trays"});
    job.answer(1'050, 1'000, planes({{"1", 'u'}, {"2", 'd'}, {"3", 'u'}}));
    EXPECT_TRUE(job.rule("others").lost);
    EXPECT_EQ(job.told().word, Word::stop);
}

TEST(rule, is_not_said_to_hold_before_all_of_its_queries_are_answered) {
    ProcedureOpened opening = small_job();
    opening.rules[0].holds = {
        "every plane except 3 up or fan-tray B operational", {"planes", "trays"}, ms(6'000), ms(0)};
    Job job(opening);
    job.begin(1'000, {"planes", "trays"});
    job.answer(1'050, 1'000, planes({{"1", 'u'}, {"2", 'u'}, {"3", 'u'}}));
    EXPECT_EQ(job.rule("others").truth, U);
}

TEST(rule, applies_from_the_opening_of_one_step_to_that_of_another) {
    Job job;
    job.device.tray_b = 'd';
    job.look(1'000);
    EXPECT_FALSE(job.rule("tray-b").active);
    EXPECT_EQ(job.told().word, Word::wait);
    job.release(1'200, "shut");
    job.device.plane_3 = 's';
    job.confirm(2'000, "shut");
    job.look(2'100); // "pull" opens at 2 150, after its trays were asked for at 2 150
    EXPECT_TRUE(job.rule("tray-b").active);
    job.look(3'000);
    EXPECT_EQ(job.told().word, Word::stop);
}

TEST(rule, looks_only_at_answers_asked_since_it_applies) {
    Job job;
    job.look(1'000);
    job.release(1'200, "shut");
    job.device.plane_3 = 's';
    job.confirm(2'000, "shut");
    job.begin(2'100, {"planes", "trays"});
    job.answer(2'150, 2'100, planes({{"1", 'u'}, {"2", 'u'}, {"3", 's'}}));
    ASSERT_TRUE(job.rule("tray-b").active);
    // Asked for before the step opened at 2 150, answered after.
    job.answer(2'200, 2'149, Sheet({Kind::fan_tray}), "trays");
    EXPECT_FALSE(job.rule("tray-b").lost);
}

TEST(rule, stops_the_work_on_the_way_back_as_well) {
    Job job;
    job.look(1'000);
    job.act(1'200, BackOutBegun{"job", "Ada", "no"});
    job.device.plane_2 = 'd';
    job.look(2'000);
    EXPECT_EQ(job.told().word, Word::stop);
}

TEST(rule, is_unseen_when_nobody_looks_and_that_is_a_wait) {
    Job job;
    job.look(1'000);
    EXPECT_EQ(job.rule("others").truth, T);
    job.tick(7'051);
    EXPECT_EQ(job.rule("others").truth, U);
    EXPECT_EQ(job.rule("others").because.reason, Reason::gap);
    EXPECT_FALSE(job.rule("others").lost);
}

TEST(rule, is_unknown_at_an_unknown_look_and_lost_only_at_a_false_one) {
    Job job;
    job.device.plane_2 = '?';
    job.look(1'000);
    EXPECT_EQ(job.rule("others").truth, U);
    EXPECT_EQ(job.told().word, Word::wait);
}

TEST(rule, that_was_lost_stays_so_over_a_restart) {
    Job job;
    job.device.plane_2 = 'd';
    job.look(1'000);
    job.run(2'000, true, {{Kind::plane, {"1", "2", "3"}}, {Kind::fan_tray, {"A", "B"}}});
    EXPECT_EQ(job.rule("others").truth, U);
    EXPECT_EQ(job.told().word, Word::stop);
}

TEST(rule, without_anything_lost_has_nothing_to_answer) {
    Job job;
    job.look(1'000);
    job.act(1'200, StopAnswered{"job", StopAnswered::Of::rule, "others", "Ada", "why not"});
    EXPECT_NE(job.refused(), "");
}

TEST(rule, that_was_true_again_and_is_unseen_as_somebody_answers_is_lost_anew) {
    Job job;
    job.device.plane_2 = 'd';
    job.look(1'000);
    job.device.plane_2 = 'u';
    job.look(2'000);
    job.tick(8'051);
    ASSERT_EQ(job.rule("others").truth, U);
    job.act(8'100, StopAnswered{"job", StopAnswered::Of::rule, "others", "Ada", "it flapped"});
    EXPECT_FALSE(job.rule("others").accepted) << "what she answered for is over";
    job.device.plane_2 = 'd';
    job.look(9'000);
    EXPECT_EQ(job.told().word, Word::stop);
}

TEST(rule, is_not_said_to_hold_by_an_answer_that_is_overdue) {
    Job job;
    job.begin(1'000);
    job.answer(7'001, 1'000, up);
    EXPECT_EQ(job.rule("others").truth, U);
    job.begin(8'000);
    job.answer(14'000, 8'000, up);
    EXPECT_EQ(job.rule("others").truth, T) << "in time to the millisecond";
    job.begin(15'000);
    job.answer(21'001, 15'000, planes({{"1", 'u'}, {"2", 'd'}, {"3", 'u'}}));
    EXPECT_TRUE(job.rule("others").lost) << "but it is refuted by one";
}

} // namespace
} // namespace slotwitness::witness::test
