#include <slotwitness/card/card.hpp>
#include <slotwitness/card/print.hpp>

#include <gmock/gmock.h>

namespace slotwitness::card {
namespace {

using namespace witness;
using testing::HasSubstr;
using testing::Not;

Instant at(int seconds) {
    return Instant(std::chrono::seconds(seconds));
}

/// A tray comes out (step `pull`), a part (step `part`), and both go back (step `seat`).
class CardOf : public testing::Test {
  protected:
    CardOf() {
        ProcedureOpened& opened = record_.procedure.opened;
        opened.id = "p";
        opened.title = "Some work";
        opened.by = "E. One";
        for (const char* name : {"pull", "part", "seat"}) {
            StepPlan plan;
            plan.name = name;
            plan.technician = true;
            plan.act = std::string("Do ") + name + ".";
            plan.fact.sentence = "fan-tray T1 present";
            opened.steps.push_back(plan);
        }
        opened.cooling = CoolingPlan{"T1", {}, "pull", "seat", "part", std::chrono::minutes(10)};
        record_.work_slot = sentences::Named{state::Kind::module, "M1"};
        ProcedureFinding& finding = record_.procedure.finding;
        finding.id = "p";
        finding.title = "Some work";
        finding.in_charge = "E. One";
        finding.opened = at(0);
        finding.step = "pull";
        finding.text = "As it was.";
    }
    StepFinding& step(const std::string& name, Stage stage) {
        StepFinding& finding = record_.procedure.steps[name];
        finding.procedure = "p";
        finding.name = name;
        finding.stage = stage;
        finding.opened = at(1);
        return finding;
    }
    void released(const std::string& name, int when) {
        StepFinding& finding = step(name, Stage::released);
        finding.released = at(when);
        finding.released_by = "E. One";
        record_.procedure.finding.step = name;
    }
    void confirmed(const std::string& name, int when, Stage stage = Stage::done) {
        released(name, when);
        StepFinding& finding = step(name, stage);
        finding.confirmed = at(when);
        finding.confirmed_by = "E. One";
        finding.on_behalf_of = "T. Two";
    }
    [[nodiscard]] std::vector<std::string> out(int when = 100) const {
        std::vector<std::string> names;
        const Card card = card_of(record_, at(when));
        for (const Out& each : card.now->out)
            names.push_back(each.what);
        return names;
    }

    Record record_;
};

TEST_F(CardOf, work_that_was_not_begun_has_nothing_out) {
    step("pull", Stage::fact);
    EXPECT_THAT(out(), testing::IsEmpty());
}

TEST_F(CardOf, a_step_that_was_released_and_not_confirmed_may_be_half_done) {
    released("pull", 10);
    const Card card = card_of(record_, at(20));
    ASSERT_EQ(card.now->out.size(), 1U);
    EXPECT_EQ(card.now->out[0].what, "fan tray T1");
    EXPECT_THAT(card.now->out[0].people, HasSubstr("not confirmed: it may be half done"));
    EXPECT_EQ(card.now->out[0].device, "no whole answer tells whether the device lists it");
    EXPECT_EQ(card.now->waits_for, "the technician: to do it, and to say that it is done");
}

TEST_F(CardOf, what_people_confirmed_out_stays_out_until_the_tray_is_seen_back) {
    record_.trail.cooling.push_back({at(10), {}, at(610), "", false});
    confirmed("pull", 10);
    EXPECT_THAT(out(), testing::ElementsAre("fan tray T1"));
    confirmed("part", 20);
    EXPECT_THAT(out(), testing::ElementsAre("fan tray T1", "module M1"));
    confirmed("seat", 30, Stage::confirmed);
    EXPECT_THAT(out(), testing::ElementsAre("fan tray T1", "module M1"));
    step("seat", Stage::done);
    record_.trail.cooling.back().ended = at(40);
    EXPECT_THAT(out(), testing::IsEmpty());
}

TEST_F(CardOf, a_tray_that_left_with_nobody_saying_so_is_out) {
    record_.trail.cooling.push_back({at(10), {}, at(610), "", false});
    const Card card = card_of(record_, at(20));
    ASSERT_EQ(card.now->out.size(), 1U);
    EXPECT_EQ(card.now->out[0].people, "nobody confirmed anything of it");
}

TEST_F(CardOf, the_cooling_clock_tells_what_is_left_and_by_how_much_it_ran_out) {
    record_.trail.cooling.push_back({at(10), {}, at(610), "", false});
    EXPECT_THAT(to_text(card_of(record_, at(590))), HasSubstr("20 s left: fan tray T1"));
    EXPECT_THAT(to_text(card_of(record_, at(640))), HasSubstr("OVER by 30 s: fan tray T1"));
}

TEST_F(CardOf, state_met_is_taken_back_once_it_is_no_longer_valid) {
    ProcedureFinding& finding = record_.procedure.finding;
    finding.word = Word::state_met;
    finding.valid_until = at(50);
    EXPECT_EQ(card_of(record_, at(49)).now->word, Word::state_met);
    EXPECT_EQ(card_of(record_, at(50)).now->word, Word::wait);
    EXPECT_THAT(to_text(card_of(record_, at(50))), Not(HasSubstr("STATE MET")));
}

TEST_F(CardOf, an_unanswered_stop_waits_for_an_engineer_whatever_the_step_waits_for) {
    released("pull", 10);
    record_.procedure.rules["others"].lost = true;
    EXPECT_EQ(card_of(record_, at(20)).now->waits_for,
              "an engineer: to answer for the stop, by name and with a reason");
}

TEST_F(CardOf, whose_part_was_passed_over_names_who_and_why) {
    step("pull", Stage::done).released = at(5);
    record_.trail.deeds.push_back({at(6), Deed::Kind::forced, "pull", "E. One", "", "it is loud"});
    const std::string text = to_text(card_of(record_, at(20)));
    EXPECT_THAT(text, HasSubstr("PASSED OVER by E. One: it is loud"));
    EXPECT_THAT(text, Not(HasSubstr("STATE MET")));
}

TEST_F(CardOf, closed_work_is_told_as_of_its_closing) {
    ProcedureFinding& finding = record_.procedure.finding;
    finding.phase = Phase::closed;
    finding.closed = at(100);
    finding.outcome = Closing::closed_degraded;
    const Card card = card_of(record_, at(5000));
    EXPECT_TRUE(card.is_closed());
    EXPECT_EQ(card.as_of, at(100));
    EXPECT_THAT(to_text(card), HasSubstr("closed degraded at 00:01:40, after 1 min 40 s"));
}

TEST_F(CardOf, what_is_not_known_says_so) {
    const std::string text = to_text(card_of(record_, at(20)));
    EXPECT_THAT(text, HasSubstr("not known: no whole answer tells it"));
    EXPECT_THAT(text, HasSubstr("no baseline was kept: not known"));
    EXPECT_THAT(text, HasSubstr("Not known: no whole answer lists the alarms."));
    EXPECT_THAT(text, HasSubstr("ticket       not given"));
}

TEST_F(CardOf, what_people_wrote_cannot_move_a_terminal) {
    record_.procedure.opened.ticket = "T-1\x1b[2J";
    EXPECT_THAT(to_text(card_of(record_, at(20))), Not(HasSubstr("\x1b")));
}

TEST_F(CardOf, the_page_has_nothing_that_people_wrote_as_markup) {
    record_.procedure.opened.ticket = "<script>T-1</script>";
    const std::string page = to_page(card_of(record_, at(20)));
    EXPECT_THAT(page, HasSubstr("&lt;script&gt;T-1"));
    EXPECT_THAT(page, Not(HasSubstr("<script")));
    EXPECT_THAT(page, HasSubstr("Shift handover p"));
}

TEST(TrailOf, an_act_that_was_refused_is_no_deed) {
    Trail trail;
    const Event taken{at(1), ShiftTaken{"p", "E. Two"}};
    trail.take("p", taken, {ProcedureRefused{"p", {}}});
    EXPECT_THAT(trail.deeds, testing::IsEmpty());
    trail.take("p", taken, {});
    ASSERT_EQ(trail.deeds.size(), 1U);
    EXPECT_EQ(trail.deeds[0].by, "E. Two");
    trail.take("another", taken, {});
    EXPECT_EQ(trail.deeds.size(), 1U);
}

TEST(TrailOf, a_rule_lost_twice_is_told_twice_and_one_that_stays_lost_once) {
    Trail trail;
    RuleFinding rule;
    rule.procedure = "p";
    rule.name = "others";
    int when = 0;
    for (const bool lost : {true, true, false, true}) {
        rule.lost = lost;
        trail.take("p", {at(++when), Tick{}}, {rule});
    }
    ASSERT_EQ(trail.losses.size(), 2U);
    EXPECT_EQ(trail.losses[0].at, at(1));
    EXPECT_EQ(trail.losses[1].at, at(4));
}

TEST(TrailOf, an_answer_that_was_cut_takes_no_older_whole_one_away) {
    Trail trail;
    auto reading = std::make_shared<state::Reading>();
    reading->whole = true;
    Answered answer{1, "modules", at(1), "first", {true, 0, "", true}, reading};
    trail.take("p", {at(1), answer}, {});
    answer.capture = "second";
    answer.ending.ended = false;
    trail.take("p", {at(2), answer}, {});
    EXPECT_EQ(trail.newest.at("modules").capture, "first");
}

TEST(TrailOf, after_the_closing_nothing_is_taken) {
    Trail trail;
    ProcedureFinding finding;
    finding.id = "p";
    finding.phase = Phase::closed;
    trail.take("p", {at(1), Tick{}}, {finding});
    trail.take("p", {at(2), RunStarted{}}, {});
    EXPECT_THAT(trail.restarts, testing::IsEmpty());
    EXPECT_EQ(trail.last, at(1));
}

} // namespace
} // namespace slotwitness::card
