#include "job.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

// A fan tray out at most ten minutes: common practice, no source; here it is the procedure's
// parameter.

TEST(cooling, runs_from_the_last_look_that_showed_the_tray) {
    Job job;
    job.reach_pull(); // trays were asked for at 3 050
    job.release(3'200, "pull");
    job.device.tray_a = not_listed;
    job.look(4'000);
    EXPECT_EQ(job.cooling().began, at(3'050));
    EXPECT_EQ(job.cooling().limit, at(603'050));
}

TEST(cooling, runs_from_the_confirmation_even_if_a_later_look_shows_the_tray) {
    Job job;
    job.reach_pull();
    job.release(3'200, "pull");
    job.confirm(3'500, "pull");
    EXPECT_EQ(job.cooling().began, at(3'050)) << "nobody saw it since";
    job.look(4'000);
    EXPECT_EQ(job.cooling().ended, at(4'100)) << "the tray works: it was never out";
}

TEST(cooling, runs_when_the_tray_leaves_before_anybody_was_to_pull_it) {
    Job job;
    job.look(1'000);
    job.device.tray_a = not_listed;
    job.look(2'000);
    EXPECT_EQ(job.cooling().began, at(1'050));
}

TEST(cooling, runs_where_nothing_is_known_of_a_tray_that_may_be_pulled) {
    Job job;
    job.reach_pull();
    job.release(3'200, "pull");
    job.begin(4'000, {"planes", "trays"});
    job.answer(4'050, 4'000, shut);
    job.answer(4'100, 4'050, Sheet({Kind::fan_tray}).unread("A ~~"), "trays");
    EXPECT_EQ(job.cooling().began, at(3'050));
}

TEST(cooling, stops_the_work_at_the_limit_with_the_steps_own_advice) {
    Job job;
    job.reach_seat(); // trays were asked for at 3 050, and the tray was there
    ASSERT_EQ(job.cooling().began, at(3'050));
    for (std::int64_t t = 10'000; t < 600'000; t += 5'000)
        job.look(t);
    EXPECT_NE(job.told().word, Word::stop);
    ASSERT_LE(job.next_due, at(603'050));
    job.tick(603'050);
    EXPECT_EQ(job.told().word, Word::stop);
    EXPECT_EQ(job.told().advice, (Advice{"freeze", "advice of seat"}));
    job.act(604'000, StopAnswered{"job", StopAnswered::Of::cooling, "", "Ada", "seating it now"});
    EXPECT_EQ(job.told().word, Word::call);
    job.device.tray_a = 'u';
    job.look(605'000);
    EXPECT_EQ(job.cooling().ended, at(605'100));
    EXPECT_FALSE(job.cooling().accepted);
}

TEST(cooling, ends_only_at_a_look_that_shows_the_tray_working) {
    Job job;
    job.reach_seat();
    job.device.tray_a = 'd';
    job.look(6'000);
    EXPECT_EQ(job.cooling().ended, std::nullopt);
    job.device.tray_a = '?';
    job.look(7'000);
    EXPECT_EQ(job.cooling().ended, std::nullopt);
    job.device.tray_a = 'u';
    job.look(8'000);
    EXPECT_EQ(job.cooling().ended, at(8'100));
}

TEST(cooling, does_not_end_by_a_table_that_may_be_older_than_its_beginning) {
    ProcedureOpened opening = small_job();
    opening.cooling->back.refresh = ms(5'000);
    Job job(opening);
    job.reach_seat(); // began at 3 050
    job.device.tray_a = 'u';
    job.look(8'000); // trays asked for at 8 050: may show how it was at 3 050
    EXPECT_EQ(job.cooling().ended, std::nullopt);
    job.look(9'000);
    EXPECT_EQ(job.cooling().ended, at(9'100));
}

/// One more step between: the tray is out, then the part comes out.
ProcedureOpened job_with_a_part() {
    ProcedureOpened opening = small_job();
    StepPlan part = opening.steps[2];
    part.name = "take-part";
    part.effect = opening.steps[1].effect;
    opening.steps.insert(opening.steps.begin() + 2, part);
    opening.cooling->out = "take-part";
    return opening;
}

TEST(cooling, turns_people_back_while_the_old_part_is_in) {
    Job job(job_with_a_part());
    job.reach_seat();
    EXPECT_EQ(job.cooling().turn_back, at(603'050 - 30'000)) << "seating takes 30 s, rehearsed";
    for (std::int64_t t = 10'000; t < 573'000; t += 5'000)
        job.look(t);
    job.tick(573'050);
    EXPECT_EQ(job.told().word, Word::call);
    EXPECT_THAT(job.told().text, testing::HasSubstr("put the tray back"));
}

TEST(cooling, turns_people_back_by_the_time_of_the_whole_rehearsal_where_it_is_given) {
    ProcedureOpened opening = job_with_a_part();
    opening.steps[3].takes.reset(); // the steps say nothing
    opening.cooling->takes = ms(45'000);
    Job job(opening);
    job.reach_seat();
    EXPECT_EQ(job.cooling().turn_back, at(603'050 - 45'000));
    opening.id = "other";
    opening.cooling->takes = ms(-1);
    EXPECT_TRUE(Witness().refusal(opening));
}

TEST(cooling, turns_nobody_back_once_the_old_part_is_out_or_where_a_step_was_never_rehearsed) {
    Job job;
    job.reach_seat();
    EXPECT_EQ(job.cooling().turn_back, std::nullopt) << "the part is out with the tray here";
    ProcedureOpened opening = small_job();
    opening.cooling->out = "shut";
    Job unrehearsed(opening);
    unrehearsed.reach_seat();
    EXPECT_EQ(unrehearsed.cooling().turn_back, std::nullopt);
}

TEST(cooling, is_shortened_by_a_forecast_and_never_lengthened) {
    Job job;
    job.act(1'000, ForecastMade{"job", "inlet", at(100'000), "inlet warms"});
    EXPECT_NE(job.refused(), "") << "no clock runs";
    job.reach_seat();
    job.act(6'000, ForecastMade{"job", "inlet", at(900'000), "inlet warms slowly"});
    EXPECT_EQ(job.cooling().limit, at(603'050));
    EXPECT_EQ(job.cooling().shortened, "");
    job.act(7'000, ForecastMade{"job", "inlet", at(300'000), "inlet warms"});
    EXPECT_EQ(job.cooling().limit, at(300'000));
    EXPECT_EQ(job.cooling().shortened, "inlet warms");
    job.act(8'000, ForecastMade{"job", "inlet", at(400'000), "inlet warms less"});
    EXPECT_EQ(job.cooling().limit, at(300'000));
}

TEST(cooling, counts_as_run_out_where_the_time_between_two_runs_cannot_be_known) {
    Job job;
    job.reach_seat();
    job.run(6'000, false, {{Kind::plane, {"1", "2", "3"}}, {Kind::fan_tray, {"A", "B"}}});
    EXPECT_TRUE(job.cooling().passed);
    EXPECT_EQ(job.told().word, Word::stop);
}

TEST(cooling, goes_on_over_a_restart) {
    Job job;
    job.reach_seat();
    job.run(6'000, true, {{Kind::plane, {"1", "2", "3"}}, {Kind::fan_tray, {"A", "B"}}});
    EXPECT_EQ(job.cooling().limit, at(603'050));
    job.tick(603'050);
    EXPECT_TRUE(job.cooling().passed);
}

TEST(cooling, does_not_end_by_an_answer_that_was_asked_for_before_the_tray_was_pulled) {
    Job job;
    job.reach_pull();
    job.release(3'200, "pull");
    job.begin(3'900, {"planes", "trays"});
    job.answer(3'940, 3'900, shut);
    job.confirm(3'950, "pull");
    const Sheet both =
        Sheet({Kind::fan_tray})
            .row(Kind::fan_tray, "A", facts(state::AdminState::unlocked, state::OperState::enabled))
            .row(Kind::fan_tray, "B",
                 facts(state::AdminState::unlocked, state::OperState::enabled));
    job.answer(4'000, 3'945, both, "trays");
    EXPECT_EQ(job.cooling().ended, std::nullopt);
    job.device.tray_a = not_listed;
    job.look(5'000);
    EXPECT_EQ(job.cooling().began, at(3'050));
}

TEST(cooling, runs_anew_when_the_tray_leaves_again) {
    Job job;
    job.reach_seat();
    job.device.tray_a = 'u';
    job.look(6'000); // trays asked for at 6 050
    ASSERT_EQ(job.cooling().ended, at(6'100));
    job.device.tray_a = not_listed;
    job.look(7'000);
    EXPECT_EQ(job.cooling().began, at(6'050));
    EXPECT_EQ(job.cooling().ended, std::nullopt);
    EXPECT_EQ(job.cooling().limit, at(606'050));
}

} // namespace
} // namespace slotwitness::witness::test
