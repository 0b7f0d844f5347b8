#include "job.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

using testing::HasSubstr;

TEST(procedure, goes_from_fact_to_release_to_act_to_effect) {
    Job job;
    EXPECT_EQ(job.told().step, "shut");
    EXPECT_EQ(job.told().word, Word::wait);
    job.look(1'000);
    EXPECT_EQ(job.gate("job.shut").verdict, Verdict::pass);
    EXPECT_EQ(job.told().word, Word::wait) << "nobody has released it";
    job.release(1'200, "shut");
    EXPECT_EQ(job.told().word, Word::state_met);
    EXPECT_EQ(job.told().valid_until, at(1'050 + 6'000));
    job.device.plane_3 = 's';
    job.confirm(2'000, "shut");
    EXPECT_EQ(job.told().word, Word::wait);
    EXPECT_EQ(job.step("shut").stage, Stage::confirmed);
    job.look(2'100);
    EXPECT_EQ(job.gate("job.shut.effect").verdict, Verdict::pass);
    EXPECT_EQ(job.step("shut").stage, Stage::done);
    EXPECT_EQ(job.step("shut").ended, at(2'150));
    EXPECT_EQ(job.told().step, "pull");
    EXPECT_EQ(job.gate("job.pull").opened, at(2'150));
}

TEST(procedure, that_is_gone_through_is_closed_as_done) {
    Job job;
    job.reach_seat();
    job.release(5'200, "seat");
    job.device.tray_a = 'u';
    job.confirm(6'000, "seat");
    job.look(6'100);
    job.look(7'000);
    job.release(7'200, "raise");
    job.device.plane_3 = 'u';
    job.confirm(8'000, "raise");
    job.look(8'100);
    EXPECT_EQ(job.told().step, "");
    EXPECT_EQ(job.told().word, Word::wait);
    job.act(9'000, ProcedureClosed{"job", Closing::done, "Ada", "", ""});
    EXPECT_EQ(job.refused(), "");
    EXPECT_EQ(job.told().phase, Phase::closed);
    EXPECT_EQ(job.told().outcome, Closing::done);
    EXPECT_EQ(job.next_due, std::nullopt);
    EXPECT_EQ(job.witness.wanted_askings(), std::vector<std::string>());
}

TEST(procedure, opens_no_step_by_itself) {
    Job job;
    for (std::int64_t t = 1'000; t < 60'000; t += 1'000)
        job.look(t);
    EXPECT_EQ(job.step("shut").stage, Stage::fact);
    EXPECT_EQ(job.told().word, Word::wait);
}

TEST(procedure, is_not_released_before_its_fact_is_met) {
    Job job;
    job.release(500, "shut");
    EXPECT_THAT(job.refused(), HasSubstr("expected every plane up"));
    EXPECT_EQ(job.step("shut").stage, Stage::fact);
    EXPECT_EQ(job.step("shut").released, std::nullopt);
}

TEST(procedure, is_not_released_upon_a_fact_that_is_no_longer_met) {
    Job job;
    job.look(1'000);
    job.device.plane_2 = 'd';
    job.look(2'000);
    job.release(2'200, "shut");
    EXPECT_NE(job.refused(), "");
}

TEST(procedure, is_not_released_upon_a_look_that_is_too_old) {
    Job job;
    job.look(1'000);
    job.release(7'051, "shut");
    EXPECT_NE(job.refused(), "");
    Job in_time;
    in_time.look(1'000);
    in_time.release(7'050, "shut");
    EXPECT_EQ(in_time.refused(), "");
}

TEST(procedure, is_not_released_while_a_rule_is_not_seen_to_hold) {
    Job job;
    job.begin(1'000, {"planes", "trays"});
    job.answer(1'050, 1'000, planes({{"1", 'u'}, {"2", 'u'}, {"3", 'u'}}).unread("plane 2"));
    job.release(1'200, "shut");
    EXPECT_NE(job.refused(), "");
}

TEST(procedure, falls_back_to_wait_when_nobody_looks) {
    Job job;
    job.look(1'000);
    job.release(1'200, "shut");
    ASSERT_EQ(job.told().word, Word::state_met);
    ASSERT_LE(job.next_due, at(7'051));
    job.tick(7'051);
    EXPECT_EQ(job.told().word, Word::wait);
}

TEST(procedure, is_not_confirmed_twice) {
    Job job;
    job.look(1'000);
    job.release(1'200, "shut");
    const StepAct seen = job.upon("shut");
    job.act(2'000, StepConfirmed{seen, ""});
    EXPECT_EQ(job.refused(), "");
    job.act(2'001, StepConfirmed{seen, ""});
    EXPECT_THAT(job.refused(), HasSubstr("the step has changed since you saw it"));
}

TEST(procedure, is_not_confirmed_before_its_release) {
    Job job;
    job.look(1'000);
    job.confirm(1'200, "shut");
    EXPECT_THAT(job.refused(), HasSubstr("Wait for the engineer's release"));
}

TEST(procedure, takes_no_act_upon_another_step_or_by_nobody) {
    Job job;
    job.look(1'000);
    job.act(1'100, StepReleased{{"job", "pull", 1, "Ada"}});
    EXPECT_THAT(job.refused(), HasSubstr("expected step shut"));
    job.act(1'100, StepReleased{{"job", "shut", job.step("shut").revision, ""}});
    EXPECT_THAT(job.refused(), HasSubstr("Say who does it"));
    job.act(1'100, StepReleased{{"other", "shut", 1, "Ada"}});
    EXPECT_THAT(job.refused(), HasSubstr("expected a procedure under way here"));
}

TEST(procedure, that_waits_too_long_is_called_up_and_tried_again) {
    Job job;
    job.device.plane_2 = 'd';
    job.look(1'000);
    job.tick(60'001);
    EXPECT_EQ(job.gate("job.shut").verdict, Verdict::fail);
    // The rule is lost as well, and that is worse.
    EXPECT_EQ(job.told().word, Word::stop);
    job.act(60'100, StopAnswered{"job", StopAnswered::Of::rule, "others", "Ada", "known"});
    EXPECT_EQ(job.told().word, Word::call);
    job.device.plane_2 = 'u';
    job.look(61'000);
    EXPECT_EQ(job.told().word, Word::call);
    EXPECT_THAT(job.told().text, HasSubstr("Overdue"));
    job.act(62'000, StepTriedAgain{job.upon("shut")});
    EXPECT_EQ(job.refused(), "");
    job.look(63'000);
    EXPECT_EQ(job.gate("job.shut.2").verdict, Verdict::pass);
    job.release(63'200, "shut");
    EXPECT_EQ(job.told().word, Word::state_met);
}

TEST(procedure, that_is_looked_at_still_is_not_tried_again) {
    Job job;
    job.act(1'000, StepTriedAgain{job.upon("shut")});
    EXPECT_THAT(job.refused(), HasSubstr("It is still looked at"));
}

TEST(procedure, that_is_forced_never_shows_state_met) {
    Job job;
    job.look(1'000);
    job.act(1'200, StepForced{job.upon("shut"), false, ""});
    EXPECT_THAT(job.refused(), HasSubstr("Say in a sentence why"));
    job.act(1'200, StepForced{job.upon("shut"), false, "plane 2 is known to be broken"});
    EXPECT_EQ(job.step("shut").stage, Stage::released);
    EXPECT_EQ(job.step("shut").forced_by, "Ada");
    EXPECT_EQ(job.told().word, Word::call);
    job.look(2'000);
    EXPECT_EQ(job.told().word, Word::call);
    job.device.plane_3 = 's';
    job.confirm(3'000, "shut");
    EXPECT_EQ(job.told().word, Word::call);
    job.look(3'100);
    EXPECT_EQ(job.step("shut").stage, Stage::done);
    EXPECT_EQ(job.told().word, Word::wait) << "the next step is not forced";
}

TEST(procedure, that_skips_a_step_goes_on_with_the_next) {
    Job job;
    job.act(1'000, StepForced{job.upon("shut"), true, "it is shut down already"});
    EXPECT_EQ(job.step("shut").stage, Stage::skipped);
    EXPECT_EQ(job.told().step, "pull");
    EXPECT_TRUE(job.gate("job.shut").retired);
}

TEST(procedure, whose_act_is_not_seen_says_you_may_be_at_another_chassis) {
    Job job;
    job.reach_pull();
    job.release(3'200, "pull");
    job.confirm(4'000, "pull");
    job.look(4'500);
    EXPECT_EQ(job.told().word, Word::call);
    EXPECT_THAT(job.told().text, HasSubstr("you may be at another chassis"));
    EXPECT_EQ(job.told().advice, (Advice{"freeze", "advice of pull"}));
    job.device.tray_a = not_listed;
    job.look(5'000);
    EXPECT_EQ(job.step("pull").stage, Stage::done);
}

TEST(procedure, stops_when_what_it_was_released_upon_is_lost) {
    Job job;
    job.reach_pull();
    job.release(3'200, "pull");
    ASSERT_EQ(job.told().word, Word::state_met);
    job.device.plane_3 = 'u'; // the plane comes back by itself
    job.look(4'000);
    EXPECT_EQ(job.told().word, Word::stop);
    EXPECT_THAT(job.told().text, HasSubstr("No longer met: plane 3 shut"));
    job.device.plane_3 = 's';
    job.look(5'000);
    EXPECT_EQ(job.told().word, Word::stop) << "until somebody answers for it";
    job.act(6'000, StopAnswered{"job", StopAnswered::Of::step, "pull", "Ada", "I shut it again"});
    EXPECT_EQ(job.refused(), "");
    EXPECT_EQ(job.told().word, Word::state_met);
}

TEST(procedure, that_lost_something_is_no_state_met_while_it_is_answered_but_not_back) {
    Job job;
    job.reach_pull();
    job.release(3'200, "pull");
    job.device.plane_3 = 'u';
    job.look(4'000);
    job.act(4'500, StopAnswered{"job", StopAnswered::Of::step, "pull", "Ada", "going on"});
    EXPECT_EQ(job.told().word, Word::call);
    job.look(5'000);
    EXPECT_EQ(job.told().word, Word::call);
}

TEST(procedure, guards_its_fact_until_the_step_named) {
    Job job;
    job.reach_seat();
    EXPECT_TRUE(job.gate("job.pull").guarded);
    job.release(5'200, "seat");
    job.device.tray_a = 'u';
    job.confirm(6'000, "seat");
    job.look(6'100);
    EXPECT_EQ(job.told().step, "raise");
    EXPECT_TRUE(job.gate("job.pull").retired);
    job.device.plane_3 = 'u';
    job.look(7'000);
    EXPECT_NE(job.told().word, Word::stop);
}

TEST(procedure, goes_back_by_the_steps_that_undo_what_was_released) {
    Job job;
    job.reach_pull();
    job.act(3'500, BackOutBegun{"job", "Ada", "the spare is broken"});
    EXPECT_EQ(job.told().phase, Phase::backing_out);
    EXPECT_EQ(job.told().step, "raise-again") << "the tray was never released";
    job.look(4'000);
    job.release(4'200, "raise-again");
    job.device.plane_3 = 'u';
    job.confirm(5'000, "raise-again");
    job.look(5'100);
    job.act(6'000, ProcedureClosed{"job", Closing::done, "Ada", "", ""});
    EXPECT_NE(job.refused(), "") << "it did not go forward";
    job.act(6'000, ProcedureClosed{"job", Closing::backed_out, "Ada", "", ""});
    EXPECT_EQ(job.told().outcome, Closing::backed_out);
}

TEST(procedure, goes_back_from_the_middle_of_a_step) {
    Job job;
    job.reach_seat();
    job.act(5'500, BackOutBegun{"job", "Ada", "the spare is broken"});
    EXPECT_EQ(job.told().step, "put-back");
    EXPECT_TRUE(job.gate("job.seat").retired);
    job.act(5'600, BackOutBegun{"job", "Ada", "again"});
    EXPECT_NE(job.refused(), "");
}

TEST(procedure, is_closed_degraded_only_with_a_ticket_and_a_reason) {
    Job job;
    job.reach_seat();
    job.act(6'000, ProcedureClosed{"job", Closing::done, "Ada", "", ""});
    EXPECT_NE(job.refused(), "");
    job.act(6'000, ProcedureClosed{"job", Closing::closed_degraded, "Ada", "", "no spare"});
    EXPECT_THAT(job.refused(), HasSubstr("Give the ticket"));
    job.act(6'000, ProcedureClosed{"job", Closing::closed_degraded, "Ada", "T-7", "no spare"});
    EXPECT_EQ(job.told().outcome, Closing::closed_degraded);
    EXPECT_TRUE(job.gate("job.seat").retired);
    EXPECT_TRUE(job.gate("job.pull").retired);
}

TEST(procedure, is_the_only_one_on_its_chassis) {
    Job job;
    ProcedureOpened second = small_job();
    second.id = "second";
    job.act(100, second);
    EXPECT_THAT(job.refused(), HasSubstr("one procedure a chassis"));
}

TEST(procedure, is_refused_where_it_names_what_the_chassis_has_not) {
    ProcedureOpened opening = small_job();
    opening.back_out[1].fact.sentence = "fan-tray C operational within 1 min";
    const Job job(opening);
    EXPECT_THAT(job.refused(), HasSubstr("step raise-again"));
    EXPECT_THAT(job.refused(), HasSubstr("fan tray C"));
    EXPECT_TRUE(job.all<ProcedureFinding>().empty());
}

TEST(procedure, is_refused_on_a_chassis_that_nobody_has_seen) {
    World world;
    world.run(0, true, {});
    world.tell({at(0), small_job()});
    ASSERT_EQ(world.all<ProcedureRefused>().size(), 1);
    EXPECT_THAT(state::to_text(world.all<ProcedureRefused>()[0].problem),
                HasSubstr("state the inventory in the configuration"));
}

TEST(procedure, holds_its_gates_against_others) {
    Job job;
    job.close(1'000, "job.shut");
    EXPECT_NE(job.refused(), "");
    EXPECT_EQ(job.gate("job.shut").verdict, Verdict::pending);
}

TEST(procedure, goes_on_after_a_restart_where_it_was) {
    Job job;
    job.reach_pull();
    job.release(3'200, "pull");
    ASSERT_EQ(job.told().word, Word::state_met);
    job.run(4'000, true, {{Kind::plane, {"1", "2", "3"}}, {Kind::fan_tray, {"A", "B"}}});
    EXPECT_EQ(job.told().word, Word::wait);
    EXPECT_EQ(job.step("pull").stage, Stage::released);
    job.look(5'000);
    EXPECT_EQ(job.told().word, Word::state_met);
}

TEST(procedure, tells_who_has_taken_the_shift) {
    Job job;
    EXPECT_EQ(job.told().in_charge, "Ada");
    job.act(1'000, ShiftTaken{"job", "Grace"});
    EXPECT_EQ(job.told().in_charge, "Grace");
}

TEST(procedure, whose_act_ends_its_own_fact_waits_to_be_told_so) {
    Job job;
    job.look(1'000);
    job.release(1'200, "shut");
    job.device.plane_3 = 's'; // the act, not confirmed yet: not every plane is up any more
    job.look(1'300);
    EXPECT_FALSE(job.step("shut").lost);
    EXPECT_EQ(job.told().word, Word::wait);
    EXPECT_THAT(job.told().text, HasSubstr("If the act has ended it, confirm it."));
    job.confirm(2'000, "shut");
    job.look(2'100);
    EXPECT_EQ(job.told().step, "pull");
    EXPECT_TRUE(job.gate("job.shut").retired);
}

TEST(procedure, that_goes_on_with_a_fact_lost_is_no_call_any_more_once_that_is_not_guarded) {
    Job job;
    job.reach_seat();
    job.device.plane_3 = 'u';
    job.look(6'000);
    ASSERT_TRUE(job.step("pull").lost);
    job.act(6'500, StopAnswered{"job", StopAnswered::Of::step, "pull", "Ada", "known"});
    ASSERT_EQ(job.told().word, Word::call);
    job.release(6'600, "seat");
    job.device.tray_a = 'u';
    job.confirm(7'000, "seat");
    job.look(7'100);
    EXPECT_EQ(job.told().step, "raise") << "until which it is guarded";
    EXPECT_FALSE(job.step("pull").accepted);
    EXPECT_EQ(job.told().word, Word::wait);
}

TEST(procedure, stops_anew_when_what_was_met_again_is_lost_again) {
    Job job;
    job.reach_pull();
    job.release(3'200, "pull");
    job.device.plane_3 = 'u';
    job.look(4'000);
    job.device.plane_3 = 's';
    job.look(5'000);
    job.tick(11'051); // and now nobody sees it
    job.act(11'100, StopAnswered{"job", StopAnswered::Of::step, "pull", "Ada", "I shut it again"});
    EXPECT_FALSE(job.step("pull").accepted) << "what she answered for is over";
    job.device.plane_3 = 'u';
    job.look(12'000);
    EXPECT_EQ(job.told().word, Word::stop);
}

TEST(procedure, is_not_released_upon_a_look_at_a_rule_that_is_too_old) {
    ProcedureOpened opening = small_job();
    opening.rules[0].holds.gap = ms(3'000);
    Job job(opening);
    job.look(1'000); // planes answered at 1 050
    job.release(4'051, "shut");
    EXPECT_NE(job.refused(), "");
    Job in_time(opening);
    in_time.look(1'000);
    in_time.release(4'050, "shut");
    EXPECT_EQ(in_time.refused(), "");
}

TEST(procedure, is_not_released_while_a_guarded_fact_is_not_seen_to_be_met_still) {
    ProcedureOpened opening = small_job();
    opening.steps[1].fact.gap = ms(2'000);
    Job job(opening);
    job.reach_seat(); // planes answered at 5 050
    job.release(7'051, "seat");
    EXPECT_THAT(job.refused(), HasSubstr("expected plane 3 shut"));
    Job in_time(opening);
    in_time.reach_seat();
    in_time.release(7'050, "seat");
    EXPECT_EQ(in_time.refused(), "");
}

TEST(procedure, takes_no_gate_of_somebody_else_for_its_own) {
    Job job;
    job.tell({at(500), GateOpened{"job.pull",
                                  "plane 3 shut",
                                  {"planes"},
                                  ms(6'000),
                                  ms(0),
                                  ms(0),
                                  "somebody else",
                                  ""}});
    job.reach_pull();
    EXPECT_EQ(job.gate("job.pull").standing, Standing::met);
    EXPECT_EQ(job.told().word, Word::call);
    EXPECT_THAT(job.told().text, HasSubstr("cannot be judged"));
    job.release(3'200, "pull");
    EXPECT_NE(job.refused(), "");
    job.close(3'300, "job.pull");
    EXPECT_EQ(job.refused(), "") << "it is theirs";
    job.act(3'400, StepTriedAgain{job.upon("pull")});
    job.look(4'000);
    job.release(4'200, "pull");
    EXPECT_EQ(job.told().word, Word::state_met);
}

} // namespace
} // namespace slotwitness::witness::test
