#include "job.hpp"

#include <gtest/gtest.h>

// What the beginning of a run tells of a time in which nothing could be recorded.
namespace slotwitness::witness::test {
namespace {

RunStarted goes_on() {
    RunStarted run;
    run.inventory = {{Kind::plane, {"1", "2", "3"}}, {Kind::fan_tray, {"A", "B"}}};
    return run;
}

TEST(unrecorded, loss_of_a_rule_stops_the_work_until_somebody_answers) {
    Job job;
    job.look(1'000);
    RunStarted run = goes_on();
    run.lost = {{"job", StopAnswered::Of::rule, "others"}};
    EXPECT_TRUE(job.witness.lost().empty());
    job.act(2'000, run);
    EXPECT_EQ(job.told().word, Word::stop);
    EXPECT_TRUE(job.rule("others").lost);
    EXPECT_EQ(job.witness.lost(), run.lost);
    job.look(3'000);
    EXPECT_EQ(job.told().word, Word::stop) << "whatever later looks tell";
    job.act(4'000, StopAnswered{"job", StopAnswered::Of::rule, "others", "Ada", "seen to"});
    EXPECT_EQ(job.refused(), "");
    EXPECT_NE(job.told().word, Word::stop);
}

TEST(unrecorded, loss_of_a_guarded_fact_stops_the_work_as_well) {
    Job job;
    job.reach_pull();
    job.release(3'200, "pull");
    RunStarted run = goes_on();
    run.lost = {{"job", StopAnswered::Of::step, "pull"}};
    job.act(4'000, run);
    EXPECT_EQ(job.told().word, Word::stop);
    EXPECT_TRUE(job.step("pull").lost);
    EXPECT_EQ(job.witness.lost(), run.lost);
}

TEST(unrecorded, loss_of_another_procedure_changes_nothing) {
    Job job;
    job.look(1'000);
    RunStarted run = goes_on();
    run.lost = {{"another", StopAnswered::Of::rule, "others"}};
    job.act(2'000, run);
    EXPECT_EQ(job.told().word, Word::wait);
}

class CutRound : public testing::Test {
  protected:
    Job job;
    CutRound() {
        job.look(1'000);
        RunStarted run = goes_on();
        run.cut = RoundStarted{job.begin(2'000, {"planes", "trays"}), {"planes", "trays"}};
        job.act(2'100, run);
    }
};

TEST_F(CutRound, what_still_comes_of_it_refutes_a_rule) {
    job.answer(2'300, 2'050, planes({{"1", 'd'}, {"2", 'u'}, {"3", 'u'}}));
    EXPECT_EQ(job.told().word, Word::stop);
    EXPECT_TRUE(job.rule("others").lost);
}

TEST_F(CutRound, what_still_comes_of_it_confirms_nothing) {
    job.answer(2'300, 2'050, up);
    EXPECT_EQ(job.rule("others").truth, U);
    EXPECT_EQ(job.gate("job.shut").truth, U);
    EXPECT_EQ(job.told().word, Word::wait);
}

TEST_F(CutRound, is_over_with_the_next_one) {
    const RoundNumber next = job.begin(3'000, {"planes", "trays"});
    Answered late;
    late.round = next - 1;
    late.asking = "planes";
    late.asked = at(2'050);
    late.ending = {true, 0, ""};
    late.reading = std::make_shared<const state::Reading>(
        planes({{"1", 'd'}, {"2", 'u'}, {"3", 'u'}}).reading());
    job.act(3'100, late);
    EXPECT_FALSE(job.rule("others").lost);
}

} // namespace
} // namespace slotwitness::witness::test
