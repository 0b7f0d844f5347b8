#include "bench.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <memory>

// Each query: allowed, answered, whole, read, and soon enough.
namespace slotwitness::ready::test {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using witness::NoAnswer;
using namespace std::chrono_literals;

/// The work with this for the answer to `asking`.
Report with_silence(const std::string& asking, NoAnswer why) {
    Bench bench;
    bench.spoil = [&](Look& look) {
        for (Tried& tried : look.tried)
            if (tried.asking == asking)
                tried.came = witness::Silent{asking, why, "as the test says"};
    };
    return bench.check();
}

TEST(ReadyQueries, one_that_the_account_may_not_ask_is_told_with_what_needs_it) {
    Bench bench;
    bench.order("fault refuse-command once"); // the first that is asked: alarms
    const Report report = bench.check();
    const Finding finding = about(report, "query alarms");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.remedy, HasSubstr("Let this account ask \"tell alarms\""));
    EXPECT_THAT(finding.needed_by, ElementsAre("step raise-planes, effect"));
    EXPECT_EQ(report.count(Weight::holds_up), 1U);
}

TEST(ReadyQueries, what_is_unknown_for_want_of_an_answer_is_told_with_that_answer_alone) {
    const Report report = with_silence("planes", NoAnswer::refused);
    EXPECT_EQ(report.count(Weight::holds_up), 1U)
        << testing::PrintToString(told(report, Weight::holds_up));
    const Finding finding = about(report, "query planes");
    EXPECT_THAT(finding.needed_by,
                testing::IsSupersetOf({"parameter planes", "rule other-planes", "step prepare"}));
    for (const Judged& each : report.now)
        if (each.condition == "every plane except 3, 4 up") {
            EXPECT_EQ(each.judgement.truth, witness::Truth::unknown);
        }
}

TEST(ReadyQueries, an_answer_that_was_cut_holds_the_work_up) {
    Bench bench;
    bench.order("fault cut 200 once");
    bench.order("technician pull supply PSU1"); // so that there is something to cut
    const Report report = bench.check();
    const Finding finding = about(report, "query alarms");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.says, HasSubstr("not whole"));
    EXPECT_THAT(finding.remedy, HasSubstr("longest-answer"));
}

TEST(ReadyQueries, each_way_of_bringing_no_answer_has_its_remedy) {
    const std::vector<std::pair<NoAnswer, const char*>> remedies{
        {NoAnswer::unreachable, "does not last"},
        {NoAnswer::session_lost, "does not last"},
        {NoAnswer::timed_out, "does not last"},
        {NoAnswer::host_key, "known-hosts"},
        {NoAnswer::credential, "known-hosts"},
        {NoAnswer::wrong_chassis, "known-hosts"},
        {NoAnswer::refused, "sessions and chann"},
        {NoAnswer::guarded, "in the profile"},
        {NoAnswer::internal, "defect"}};
    for (const auto& [why, remedy] : remedies) {
        const Finding finding = about(with_silence("sensors", why), "query sensors");
        EXPECT_EQ(finding.weight, Weight::holds_up) << witness::to_word(why);
        EXPECT_THAT(finding.says, HasSubstr("as the test says"));
        EXPECT_THAT(finding.remedy, HasSubstr(remedy)) << witness::to_word(why);
    }
}

TEST(ReadyQueries, what_a_lost_session_left_out_was_not_asked) {
    Bench bench;
    bench.order("fault disconnect once");
    const Report report = bench.check();
    EXPECT_THAT(about(report, "query alarms").says, HasSubstr("no answer"));
    EXPECT_THAT(about(report, "queries").says, HasSubstr("before these were asked: chassis, con"));
    EXPECT_THAT(told(report, Weight::holds_up),
                ElementsAre(HasSubstr("chassis serial"), HasSubstr("software"),
                            HasSubstr("query alarms"), HasSubstr("queries")))
        << "all else follows from them";
}

TEST(ReadyQueries, a_line_that_nobody_reads_weighs_by_who_needs_its_answer) {
    const std::string ports = "PORT  DRIVE    CONDITION    RATE  FLAPS  FAULTS\n"
                              "----  -------  ---------  ------  -----  ------\n"
                              "eth1  engaged  running    400 Gb/s and more\n";
    Bench unneeded;
    unneeded.answer("tell ports", ports);
    EXPECT_EQ(about(unneeded.check(), "query ports").weight, Weight::advice);
    Bench needed;
    needed.answer("tell ports", ports);
    needed.add_to_procedure("\n[[ready]]\nname = \"ports\"\nsay = \"Ports are up\"\n"
                            "holds = \"every port up\"\nremedy = \"Wait.\"\n");
    const Report report = needed.check();
    const Finding finding = about(report, "query ports");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.remedy, HasSubstr("slotwitness capture"));
    EXPECT_THAT(finding.cites.at(0).text, HasSubstr("and more"));
    EXPECT_EQ(report.count(Weight::holds_up), 1U);
}

TEST(ReadyQueries, a_word_without_a_meaning_in_what_nobody_needs_is_advice) {
    Bench bench;
    bench.rewrite_profile("wrong = \"sensor-status nonoperational\"\n", "");
    bench.order("world break sensor inlet");
    const Report report = bench.check();
    EXPECT_EQ(about(report, "query sensors").weight, Weight::advice);
    EXPECT_THAT(told(report, Weight::holds_up), IsEmpty());
}

TEST(ReadyQueries, without_a_session_what_the_files_say_is_still_told) {
    Bench bench;
    bench.arguments["spare-part"] = "QF-32-9";
    bench.spoil = [](Look& look) {
        look.tried.clear();
        look.no_session = "no route to 192.0.2.7";
    };
    const Report report = bench.check();
    EXPECT_THAT(told(report, Weight::holds_up),
                ElementsAre(HasSubstr("router session: no route to 192.0.2.7"),
                            HasSubstr("spare: QF-32-9")));
    EXPECT_THAT(report.now, IsEmpty());
}

TEST(ReadyQueries, a_procedure_for_another_family_is_not_judged) {
    Bench bench;
    bench.rewrite_procedure("family    = \"Quillon\"", "family    = \"Vennick\"");
    const Report report = bench.check();
    EXPECT_THAT(told(report, Weight::holds_up),
                ElementsAre(HasSubstr("is for Vennick, and the profile of edge-7 is for Quillon")));
    EXPECT_THAT(report.now, IsEmpty());
}

TEST(ReadyQueries, a_budget_that_bears_too_few_looks_for_a_hold_holds_the_work_up) {
    // Ten queries a look, of a budget two thirds in the long run; a hold bears 21 s.
    Bench bench;
    bench.budget.queries_an_hour = 100'000;
    EXPECT_EQ(about(bench.check(), "budget").weight, Weight::as_needed);
    bench.budget.queries_an_hour = 5'000; // every 10.8 s
    EXPECT_EQ(about(bench.check(), "budget").weight, Weight::advice);
    bench.budget.queries_an_hour = 1'000; // every 54 s
    const Finding finding = about(bench.check(), "budget");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.remedy, HasSubstr("queries-an-hour"));
}

TEST(ReadyQueries, looks_that_take_longer_than_a_hold_bears_hold_the_work_up) {
    // Ten queries; a hold bears three times pending and the query's time-out: 6 s + 15 s.
    Bench bench;
    bench.took = 1s;
    EXPECT_EQ(about(bench.check(), "pace").weight, Weight::advice) << "10 s, begun every 10 s";
    bench.took = 1'049ms; // 10.49 s, twice: just within 21 s
    EXPECT_EQ(about(bench.check(), "pace").weight, Weight::advice);
    bench.took = 1'051ms; // 10.51 s, twice
    const Finding finding = about(bench.check(), "pace");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.remedy, HasSubstr("[chassis.pace]"));
}

TEST(ReadyQueries, a_deadline_that_no_look_can_keep_is_told_by_its_step) {
    Bench bench;
    bench.rewrite_procedure("effect = \"fan-tray <tray> operational for 10 s within 2 min\"",
                            "effect = \"fan-tray <tray> operational for 10 s within 12 s\"");
    // Two looks of 100 ms, the table's age of 2 s, and the hold: 12.2 s.
    const Finding finding = about(bench.check(), "step seat-tray, effect");
    EXPECT_EQ(finding.weight, Weight::holds_up);
    EXPECT_THAT(finding.says, HasSubstr("12 s 200 ms after its opening at the soonest"));
    EXPECT_THAT(finding.remedy, HasSubstr("more time"));
}

/// A finding that holds the work up is about the condition, or about an answer that it needs.
bool is_told(const Report& report, const Judged& judged) {
    return std::any_of(report.findings.begin(), report.findings.end(), [&](const Finding& finding) {
        return finding.weight == Weight::holds_up &&
               (finding.about == judged.condition ||
                std::find(finding.needed_by.begin(), finding.needed_by.end(), judged.of.front()) !=
                    finding.needed_by.end());
    });
}

TEST(ReadyQueries, whatever_two_answers_are_spoilt_nothing_that_is_not_so_is_left_out) {
    const auto silent = [](Tried& tried) {
        tried.came = witness::Silent{tried.asking, NoAnswer::refused, "refused"};
    };
    const auto cut = [](Tried& tried) { std::get<Answer>(tried.came).ending.ended = false; };
    const auto unread = [](Tried& tried) {
        auto reading = *std::get<Answer>(tried.came).reading;
        reading.unread.push_back({99, "???", 1, "a row"});
        std::get<Answer>(tried.came).reading = std::make_shared<const state::Reading>(reading);
    };
    const std::vector<std::function<void(Tried&)>> ways{silent, cut, unread};
    std::size_t doubted = 0;
    for (std::size_t first = 0; first < 10; ++first)
        for (std::size_t second = 0; second <= first; ++second)
            for (const auto& way : ways) {
                Bench bench;
                bench.spoil = [&](Look& look) {
                    way(look.tried.at(first));
                    if (second != first)
                        ways.front()(look.tried.at(second));
                };
                const Report report = bench.check();
                for (const Judged& each : report.now) {
                    if (each.judgement.truth == witness::Truth::yes)
                        continue;
                    ++doubted;
                    EXPECT_TRUE(is_told(report, each))
                        << each.condition << " with " << first << " and " << second;
                }
            }
    EXPECT_GT(doubted, 100U) << "else this test shows nothing";
}

} // namespace
} // namespace slotwitness::ready::test
