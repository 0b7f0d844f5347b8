#include <slotwitness/card/card.hpp>
#include <slotwitness/card/print.hpp>

#include <gmock/gmock.h>
#include <nlohmann/json.hpp>

#include <sstream>

namespace slotwitness::card {
namespace {

using namespace witness;
using testing::HasSubstr;
using testing::Not;

Instant at(int seconds) {
    return Instant(std::chrono::seconds(seconds));
}

/// Its lines joined again, with one blank for each break.
std::string unwrapped(const std::string& text) {
    std::istringstream words(text);
    std::string all;
    for (std::string word; words >> word;)
        all += (all.empty() ? "" : " ") + word;
    return all;
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

TEST_F(CardOf, what_was_accepted_waived_and_left_stands_on_every_form_of_it) {
    ProcedureOpened& opened = record_.procedure.opened;
    opened.handback.accepted = {{{state::Kind::sensor, "S1"}, "it is broken"}};
    HandbackFinding handback;
    handback.procedure = "p";
    handback.baseline = at(1);
    handback.seen = handback.at_end = true;
    handback.items = {
        {{state::Kind::sensor, "S1"}, Fate::as_it_was, {}, "", "", "", ""},
        {{state::Kind::controller, "C0"},
         Fate::waived,
         {{"standby", "hot-standby", "providing-service"}},
         "",
         "",
         "E. Two",
         "a change-over"},
        {{state::Kind::port, ""}, Fate::not_known, {}, "A line is unread.", "", "", ""}};
    handback.counts = {{"port operational", "31", "30"}, {"port errors in sum", "4", "4"}};
    record_.procedure.handback = handback;
    record_.trail.deeds.push_back(
        {at(30), Deed::Kind::waived, "controller C0", "E. Two", "", "a change-over"});
    const Card card = card_of(record_, at(40));
    const std::vector<std::string> told{
        "sensor S1 accepted as it was before the work by E. One: it is broken",
        "controller C0: waived by E. Two: a change-over; standby hot-standby before, "
        "providing-service last",
        "the list of every port: not known; A line is unread.",
        "port operational: 31 before, 30 last (another)", "port errors in sum: 4 before, 4 last"};
    const std::string text = unwrapped(to_text(card));
    for (const std::string& line : told) {
        EXPECT_THAT(text, HasSubstr(line));
        EXPECT_THAT(to_page(card), HasSubstr(line));
    }
    EXPECT_THAT(text, HasSubstr("difference waived, controller C0, by E. Two: a change-over"));
    const nlohmann::json json = to_json(card);
    EXPECT_EQ(json["accepted"][0]["reason"], "it is broken");
    EXPECT_EQ(json["handback"]["items"][1]["waived_by"], "E. Two");
    EXPECT_EQ(json["handback"]["counts"][0]["is"], "30");
    EXPECT_EQ(json["deeds"][0]["did"], "waived");
}

TEST_F(CardOf, a_wrong_part_is_told_once_while_it_stays_and_again_after_the_right_one) {
    Trail trail;
    int when = 0;
    for (const Truth right : {Truth::unknown, Truth::no, Truth::no, Truth::yes, Truth::no}) {
        PartFinding part{"p", "S7", "the spare S9", right, false, "", ""};
        trail.take("p", {at(++when), Tick{}}, {part});
    }
    ASSERT_EQ(trail.losses.size(), 2U);
    EXPECT_EQ(trail.losses[0].at, at(2));
    EXPECT_EQ(trail.losses[0].text, "The device reports serial S7; meant is the spare S9.");
}

/// What the JSON of a card has at a pointer (RFC 6901), for programs that read it.
TEST_F(CardOf, its_json_says_null_for_what_is_not_there_and_nothing_else) {
    const nlohmann::json json = to_json(card_of(record_, at(20)));
    for (const char* absent : {"/ticket", "/window", "/approver", "/closed", "/outcome", "/serial",
                               "/at_the_rack", "/right_part", "/handback", "/baseline", "/before"})
        EXPECT_TRUE(json.at(nlohmann::json::json_pointer(absent)).is_null()) << absent;
    for (const char* empty : {"/accepted", "/alerts", "/losses", "/deeds", "/cooling", "/way_back"})
        EXPECT_EQ(json.at(nlohmann::json::json_pointer(empty)), nlohmann::json::array()) << empty;
    const std::pair<const char*, nlohmann::json> said[] = {
        {"/id", "p"},
        {"/title", "Some work"},
        {"/opened_by", "E. One"},
        {"/now/word", "WAIT"},
        {"/work_slot/kind", "module"},
        {"/work_slot/name", "M1"},
        {"/steps/0/number", 1},
        {"/steps/0/actor", "technician"},
        {"/steps/0/stage", "waiting"},
        {"/newest/serial", nullptr},
    };
    for (const auto& [pointer, value] : said)
        EXPECT_EQ(json.at(nlohmann::json::json_pointer(pointer)), value) << pointer;
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
