#include "job.hpp"

#include <gmock/gmock.h>

// A confirmation can be taken back for some seconds; the next step waits so long.
namespace slotwitness::witness::test {
namespace {

using testing::HasSubstr;

/// The small job with 5 s for second thoughts.
ProcedureOpened with_undo() {
    ProcedureOpened opening = small_job();
    opening.undo = ms(5'000);
    return opening;
}

/// Step "shut" is confirmed at 2 s, and its effect seen at 2.15 s.
Job confirmed() {
    Job job{with_undo()};
    job.look(1'000);
    job.release(1'200, "shut");
    job.device.plane_3 = 's';
    job.confirm(2'000, "shut");
    job.look(2'100);
    return job;
}

/// Tray A is out, as Bob says at 9 s; `pull` may be taken back until 14 s.
Job pulled() {
    Job job = confirmed();
    job.tick(7'000);
    job.look(7'100);
    job.release(7'300, "pull");
    job.device.tray_a = not_listed;
    job.confirm(9'000, "pull");
    return job;
}

TEST(undo, keeps_the_next_step_from_opening_until_its_time_is_over) {
    Job job = confirmed();
    EXPECT_EQ(job.gate("job.shut.effect").verdict, Verdict::pass);
    EXPECT_EQ(job.step("shut").stage, Stage::confirmed);
    EXPECT_EQ(job.step("shut").undo_until, at(7'000));
    EXPECT_EQ(job.told().word, Word::wait);
    EXPECT_THAT(job.told().text, HasSubstr("once this can no longer be taken back"));
    ASSERT_LE(job.next_due, at(7'000));
    job.tick(6'999);
    EXPECT_EQ(job.step("shut").stage, Stage::confirmed);
    job.tick(7'000);
    EXPECT_EQ(job.step("shut").stage, Stage::done);
    EXPECT_EQ(job.step("shut").undo_until, std::nullopt);
    EXPECT_EQ(job.step("pull").stage, Stage::fact);
}

TEST(undo, makes_the_step_what_it_was) {
    Job job = confirmed();
    job.act(3'000, StepUnconfirmed{{"job", "shut", job.step("shut").revision, "Bob"}});
    EXPECT_EQ(job.refused(), "");
    const StepFinding step = job.step("shut");
    EXPECT_EQ(step.stage, Stage::released);
    EXPECT_EQ(step.confirmed, std::nullopt);
    EXPECT_EQ(step.confirmed_by, "");
    EXPECT_EQ(step.undo_until, std::nullopt);
    EXPECT_EQ(step.unconfirmed_by, "Bob");
    EXPECT_TRUE(job.gate("job.shut.effect").retired);
    job.tick(7'000);
    EXPECT_EQ(job.step("pull").stage, Stage::waiting);
}

// The fact was looked at all the while: nobody is sent to act upon an old look.
TEST(undo, shows_state_met_only_if_the_fact_still_is) {
    Job job{with_undo()};
    job.look(1'000);
    job.release(1'200, "shut");
    job.confirm(2'000, "shut");
    job.look(2'100);
    job.act(3'000, StepUnconfirmed{job.upon("shut")});
    EXPECT_EQ(job.told().word, Word::state_met);
    Job other = confirmed(); // plane 3 is down, which ends what the step waited for
    other.act(3'000, StepUnconfirmed{other.upon("shut")});
    EXPECT_EQ(other.told().word, Word::wait);
}

TEST(undo, lets_the_step_be_confirmed_again_with_a_gate_of_its_own) {
    Job job = confirmed();
    job.act(3'000, StepUnconfirmed{job.upon("shut")});
    job.confirm(4'000, "shut");
    EXPECT_EQ(job.refused(), "");
    EXPECT_EQ(job.step("shut").effect, "job.shut.effect.2");
    EXPECT_EQ(job.step("shut").undo_until, at(9'000));
    job.look(4'100);
    EXPECT_EQ(job.gate("job.shut.effect.2").verdict, Verdict::pass);
    job.tick(9'000);
    EXPECT_EQ(job.step("pull").stage, Stage::fact);
}

TEST(undo, is_refused_once_its_time_is_over) {
    Job job = confirmed();
    job.act(7'000, StepUnconfirmed{job.upon("shut")});
    EXPECT_THAT(job.refused(), HasSubstr("expected a step that was confirmed a moment ago"));
    Job without;
    without.look(1'000);
    without.release(1'200, "shut");
    without.confirm(2'000, "shut");
    without.act(2'000, StepUnconfirmed{without.upon("shut")});
    EXPECT_THAT(without.refused(), HasSubstr("expected a step that was confirmed a moment ago"));
}

TEST(undo, is_refused_of_a_step_that_was_not_confirmed_or_is_another_than_was_seen) {
    Job job{with_undo()};
    job.look(1'000);
    job.release(1'200, "shut");
    job.act(1'300, StepUnconfirmed{job.upon("shut")});
    EXPECT_THAT(job.refused(), HasSubstr("expected a step that was confirmed a moment ago"));
    const StepAct seen = job.upon("shut");
    job.confirm(2'000, "shut");
    job.act(2'100, StepUnconfirmed{seen});
    EXPECT_THAT(job.refused(), HasSubstr("the step has changed since you saw it"));
}

// Whether the tray was out for a moment nobody knows. The clock ends when the device shows it
// again.
TEST(undo, lets_the_cooling_clock_run_until_a_look_shows_the_tray) {
    Job job = pulled();
    job.look(9'100);
    ASSERT_TRUE(job.cooling().began);
    const Instant began = *job.cooling().began;
    job.act(10'000, StepUnconfirmed{job.upon("pull")});
    ASSERT_EQ(job.refused(), "");
    EXPECT_EQ(job.cooling().began, began);
    EXPECT_EQ(job.cooling().ended, std::nullopt);
    job.device.tray_a = 'u';
    job.look(11'000);
    EXPECT_EQ(job.cooling().ended, at(11'100));
}

TEST(undo, of_the_old_part_s_leaving_lets_people_turn_back_again) {
    Job job = pulled();
    EXPECT_EQ(job.cooling().turn_back, std::nullopt);
    job.act(10'000, StepUnconfirmed{job.upon("pull")});
    EXPECT_NE(job.cooling().turn_back, std::nullopt);
}

TEST(undo, ends_with_the_way_back_and_with_what_is_passed_over) {
    Job job = confirmed();
    job.act(3'000, BackOutBegun{"job", "Ada", "no spare"});
    EXPECT_EQ(job.step("shut").undo_until, std::nullopt);
    Job forced = pulled();
    forced.act(9'500, StepForced{forced.upon("pull"), false, "the table is old"});
    EXPECT_EQ(forced.step("pull").undo_until, std::nullopt);
    EXPECT_EQ(forced.step("pull").stage, Stage::done);
}

} // namespace
} // namespace slotwitness::witness::test
