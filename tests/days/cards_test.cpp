#include "day.hpp"

#include <slotwitness/card/print.hpp>

#include <gmock/gmock.h>

#include <algorithm>

// The cards of whole days: what a person reads who was not there. The days are those of
// fixtures/quillon/rehearsals.
namespace slotwitness::days {
namespace {

using testing::HasSubstr;
using testing::Not;

const card::StepLine& step(const card::Card& of, const std::string& name) {
    return *std::find_if(of.steps.begin(), of.steps.end(),
                         [&](const card::StepLine& each) { return each.plan.name == name; });
}

TEST(Cards, after_a_good_day_tells_old_and_new_part_and_nothing_passed_over) {
    const PlayedDay& day = played("good-day");
    const card::Card closed = day.card();
    EXPECT_TRUE(closed.is_closed());
    EXPECT_EQ(closed.finding.outcome, witness::Closing::done);
    ASSERT_TRUE(closed.before && closed.newest);
    EXPECT_EQ(closed.before->serial, "QL40100013"); // the simulated chassis' own
    EXPECT_EQ(closed.newest->serial, "QL40100099"); // the spare of the rehearsal
    EXPECT_TRUE(closed.before->alarms_known);
    ASSERT_EQ(closed.cooling.size(), 1U);
    EXPECT_TRUE(closed.cooling[0].ended);
    EXPECT_FALSE(closed.cooling[0].passed);
    EXPECT_THAT(closed.losses, testing::IsEmpty());
    for (const card::StepLine& line : closed.steps) {
        EXPECT_EQ(line.finding.stage, witness::Stage::done) << line.plan.name;
        EXPECT_THAT(line.passed_over, testing::IsEmpty()) << line.plan.name;
        EXPECT_EQ(line.fact->verdict, witness::Verdict::pass) << line.plan.name;
    }
    const std::string text = to_text(closed);
    EXPECT_THAT(text, HasSubstr("CLOSE-OUT CARD"));
    EXPECT_THAT(text, HasSubstr("another serial than before"));
    EXPECT_THAT(text, Not(HasSubstr("PASSED OVER")));
    EXPECT_THAT(text, Not(HasSubstr("\nNOW\n")));
    EXPECT_THAT(text, Not(HasSubstr("STATE MET")));
}

TEST(Cards, in_the_middle_of_a_good_day_hands_over_what_is_out_and_the_time_left) {
    const PlayedDay& day = played("good-day");
    const card::Card whole = day.card();
    const units::Instant then = *step(whole, "pull-module").finding.confirmed;
    const card::Card middle = day.card(then);
    ASSERT_TRUE(middle.now);
    EXPECT_EQ(middle.as_of, then);
    ASSERT_EQ(middle.now->out.size(), 2U);
    EXPECT_EQ(middle.now->out[0].what, "fan tray TRAY2");
    EXPECT_EQ(middle.now->out[1].what, "module FAB3");
    EXPECT_THAT(middle.now->out[1].people, HasSubstr("step pull-module confirmed at "));
    EXPECT_EQ(middle.now->cooling_limit, whole.cooling[0].began + std::chrono::minutes(10));
    const std::string text = to_text(middle);
    EXPECT_THAT(text, HasSubstr("SHIFT HANDOVER"));
    EXPECT_THAT(text, HasSubstr(" left: fan tray TRAY2 must be back by "));
    EXPECT_EQ(step(middle, "seat-spare").finding.stage, witness::Stage::waiting);
}

TEST(Cards, before_anything_was_done_tells_that_nothing_is_out) {
    const PlayedDay& day = played("good-day");
    const card::Card begun = day.card(*step(day.card(), "prepare").finding.released);
    ASSERT_TRUE(begun.now);
    EXPECT_THAT(begun.now->out, testing::IsEmpty());
    EXPECT_THAT(to_text(begun), HasSubstr("Nothing, as far as people confirmed"));
}

TEST(Cards, after_a_back_out_tells_who_turned_round_and_that_the_old_part_is_back) {
    const PlayedDay& day = played("back-replace");
    const card::Card closed = day.card();
    EXPECT_EQ(closed.finding.outcome, witness::Closing::backed_out);
    EXPECT_EQ(closed.before->serial, closed.newest->serial);
    EXPECT_FALSE(closed.way_back.empty());
    EXPECT_EQ(closed.cooling.size(), 2U); // out for the swap, out again for the way back
    const std::string text = to_text(closed);
    EXPECT_THAT(text, HasSubstr("backed out at "));
    EXPECT_THAT(text, HasSubstr("way back begun by "));
    EXPECT_THAT(text, HasSubstr("\nTHE WAY BACK\n"));
    EXPECT_THAT(text, HasSubstr("the same serial as before"));
}

TEST(Cards, after_a_tray_was_out_too_long_tells_the_stop_its_answer_and_the_ticket) {
    const PlayedDay& day = played("tray-out-too-long");
    const card::Card closed = day.card();
    EXPECT_EQ(closed.finding.outcome, witness::Closing::closed_degraded);
    const auto cooling =
        std::find_if(closed.losses.begin(), closed.losses.end(), [](const card::Loss& loss) {
            return loss.of == witness::StopAnswered::Of::cooling;
        });
    ASSERT_NE(cooling, closed.losses.end());
    EXPECT_TRUE(closed.cooling.front().passed);
    const std::string text = to_text(closed);
    EXPECT_THAT(text, HasSubstr("THE LIMIT WAS PASSED"));
    EXPECT_THAT(text, HasSubstr("stop answered, the cooling clock,"));
    EXPECT_THAT(text, HasSubstr("goes on under T-3"));
    EXPECT_THAT(text, HasSubstr("STOP at step seat-spare"));

    const card::Card just_before = day.card(cooling->at - units::Duration(1));
    ASSERT_TRUE(just_before.now);
    EXPECT_NE(just_before.now->word, witness::Word::stop);
    EXPECT_THAT(just_before.now->waits_for, HasSubstr("the technician: to do it"));
    EXPECT_THAT(just_before.now->out[1].people, HasSubstr("step seat-spare released at "));
    EXPECT_THAT(just_before.now->out[1].device, HasSubstr("does not list it"));
}

} // namespace
} // namespace slotwitness::days
