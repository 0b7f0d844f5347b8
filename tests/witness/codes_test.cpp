#include "job.hpp"

#include <slotwitness/readback/code_book.hpp>
#include <slotwitness/witness/course.hpp>
#include <slotwitness/witness/gate_code.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <set>

namespace slotwitness::witness::test {
namespace {

using testing::HasSubstr;

ProcedureOpened job_on(const std::string& chassis, const std::string& id = "job") {
    ProcedureOpened opening = small_job();
    opening.chassis = chassis;
    opening.id = id;
    return opening;
}

TEST(code, stands_with_each_decision_and_never_with_wait) {
    Job job;
    job.look(1'000);
    EXPECT_EQ(job.told().word, Word::wait);
    EXPECT_EQ(job.told().code, "");
    EXPECT_EQ(job.step("shut").code, "");
    job.release(1'200, "shut");
    EXPECT_EQ(job.told().word, Word::state_met);
    EXPECT_EQ(readback::read(job.told().code), job.told().code);
    EXPECT_EQ(job.step("shut").code, job.told().code)
        << "the step keeps it until the act is confirmed";
}

TEST(code, does_not_change_with_each_look) {
    Job job;
    job.look(1'000);
    job.release(1'200, "shut");
    const std::string code = job.told().code;
    for (std::int64_t t = 2'000; t < 8'000; t += 1'000) {
        job.look(t);
        EXPECT_EQ(job.told().code, code);
    }
}

TEST(code, changes_with_step_word_and_cause) {
    Job job;
    job.look(1'000);
    job.release(1'200, "shut");
    std::set<std::string> codes{job.told().code};
    job.device.plane_1 = 'd'; // the rule with an advice of its own
    job.look(1'300);
    EXPECT_EQ(job.told().word, Word::stop);
    EXPECT_TRUE(codes.insert(job.told().code).second);
    job.act(1'500, StopAnswered{"job", StopAnswered::Of::rule, "others", "Ada", "It is known."});
    EXPECT_EQ(job.told().word, Word::call);
    EXPECT_TRUE(codes.insert(job.told().code).second);
    job.act(1'600, ChassisNamed{"job", "0018", "Ada", ""});
    job.device.serials = {"QL40000017"};
    job.look(1'700);
    EXPECT_EQ(job.told().word, Word::stop);
    EXPECT_TRUE(codes.insert(job.told().code).second) << "who is elsewhere must do something else";
}

TEST(code, of_the_next_step_is_another) {
    Job job;
    job.look(1'000);
    job.release(1'200, "shut");
    const std::string before = job.told().code;
    job.device.plane_3 = 's';
    job.confirm(2'000, "shut");
    job.look(2'100);
    job.look(3'000);
    job.release(3'200, "pull");
    EXPECT_EQ(job.told().word, Word::state_met);
    EXPECT_NE(job.told().code, before);
}

TEST(code, of_a_step_that_was_passed_over_is_not_that_of_its_release) {
    Job released, forced;
    released.look(1'000);
    released.release(1'200, "shut");
    forced.act(1'200, StepForced{forced.upon("shut"), false, "In a hurry."});
    EXPECT_EQ(forced.told().word, Word::call);
    EXPECT_EQ(forced.step("shut").code, forced.told().code);
    EXPECT_NE(forced.step("shut").code, released.step("shut").code);
}

TEST(code, is_another_on_another_chassis_and_in_another_procedure) {
    const auto code_of_release = [](const ProcedureOpened& opening) {
        World world;
        world.run(0, true, {{Kind::plane, {"1", "2", "3"}}, {Kind::fan_tray, {"A", "B"}}});
        world.tell({at(0), opening});
        world.look(1'000, 1'050, up);
        const auto steps = world.all<StepFinding>();
        world.tell({at(1'200),
                    StepForced{{opening.id, "shut", steps.back().revision, "Ada"}, false, "x"}});
        return world.all<ProcedureFinding>().back().code;
    };
    const std::string code = code_of_release(job_on("edge-7"));
    EXPECT_NE(code, "");
    EXPECT_EQ(code_of_release(job_on("edge-7")), code);
    EXPECT_NE(code_of_release(job_on("edge-8")), code);
    EXPECT_NE(code_of_release(job_on("edge-7", "jab")), code);
}

TEST(code, read_back_is_kept_with_the_confirmation) {
    Job job;
    job.look(1'000);
    job.release(1'200, "shut");
    job.act(1'300, StepConfirmed{job.upon("shut"), "Bob", job.step("shut").code});
    EXPECT_EQ(job.refused(), "");
    EXPECT_TRUE(job.step("shut").read_back);
    EXPECT_EQ(job.step("shut").on_behalf_of, "Bob");
}

TEST(code, that_nobody_asked_for_is_kept_as_not_read_back) {
    Job job;
    job.look(1'000);
    job.release(1'200, "shut");
    job.act(1'300, StepConfirmed{job.upon("shut"), "Bob"});
    EXPECT_EQ(job.refused(), "");
    EXPECT_FALSE(job.step("shut").read_back);
}

TEST(code, of_another_decision_confirms_nothing_and_is_named) {
    Job job;
    job.reach_pull();
    job.release(3'200, "pull");
    const auto wrong = [&](const std::string& code) {
        job.act(3'300, StepConfirmed{job.upon("pull"), "Bob", code});
        EXPECT_EQ(job.step("pull").stage, Stage::released);
        EXPECT_THAT(job.refused(), testing::Not(HasSubstr(job.step("pull").code)))
            << "the right one is to be heard, not repeated";
        return job.refused();
    };
    EXPECT_THAT(wrong(job.step("shut").code), HasSubstr("a code of step \"shut\""));
    const readback::CodeBook book("\njob", decisions_of(small_job()));
    EXPECT_THAT(wrong(book.code("pull.stop")), HasSubstr("another decision at this step"));
    std::string none = "K7F";
    while (!book.decision(none).empty())
        none[0] = none[0] == 'K' ? 'M' : 'P';
    EXPECT_THAT(wrong(none), HasSubstr("no code of this procedure"));
    EXPECT_THAT(job.refused(), HasSubstr("Let the technician read the code again"));
}

TEST(code, of_a_release_confirms_although_the_act_has_ended_what_it_waited_for) {
    Job job;
    job.reach_pull();
    job.release(3'200, "pull");
    const std::string told = job.told().code;
    job.device.plane_3 = 'u'; // its guarded fact is lost: STOP
    job.look(3'300);
    EXPECT_EQ(job.told().word, Word::stop);
    EXPECT_NE(job.told().code, told);
    job.act(3'500, StepConfirmed{job.upon("pull"), "Bob", told});
    EXPECT_EQ(job.refused(), "");
}

/// Whatever is told in a procedure of the size that people write, one misheard character makes no
/// other decision of it.
RC_GTEST_PROP(codes, of_one_procedure_are_two_characters_apart, (const std::string& chassis)) {
    ProcedureOpened opening = small_job();
    while (opening.steps.size() < 12) {
        opening.steps.push_back(opening.steps.front());
        opening.steps.back().name = "step " + std::to_string(opening.steps.size());
    }
    const auto decisions = decisions_of(opening);
    RC_ASSERT(decisions.size() <= readback::two_apart);
    const readback::CodeBook book(chassis, decisions);
    std::vector<std::string> codes;
    for (const std::string& decision : decisions)
        codes.push_back(book.code(decision));
    for (std::size_t n = 0; n < codes.size(); ++n)
        for (std::size_t m = 0; m < n; ++m) {
            int apart = 0;
            for (std::size_t i = 0; i < readback::length; ++i)
                apart += codes[n].at(i) != codes[m].at(i) ? 1 : 0;
            RC_ASSERT(apart >= 2);
        }
}

TEST(codes, that_are_not_enough_refuse_the_procedure) {
    ProcedureOpened opening = small_job();
    opening.rules.clear();
    for (int n = 0; n < 400; ++n)
        opening.rules.push_back({"r" + std::to_string(n), "It holds", opening.steps[0].fact, "", "",
                                 Advice{"call", "Call."}});
    for (RulePlan& rule : opening.rules)
        rule.holds.sentence = "every plane up";
    World world;
    world.run(0, true, {{Kind::plane, {"1", "2", "3"}}, {Kind::fan_tray, {"A", "B"}}});
    world.tell({at(0), opening});
    ASSERT_EQ(world.all<ProcedureRefused>().size(), 1);
    EXPECT_THAT(state::to_text(world.all<ProcedureRefused>()[0].problem),
                HasSubstr("so that each has a read-back code of its own"));
}

TEST(gate_code, stands_with_what_can_be_acted_upon_alone) {
    World world = opened("plane 3 shut within 1 min");
    EXPECT_EQ(code_of("edge-7", world.gate()), "");
    world.look(1'000, 1'050, shut);
    const std::string pass = code_of("edge-7", world.gate());
    EXPECT_EQ(readback::read(pass), pass);
    world.look(2'000, 2'050, shut);
    EXPECT_EQ(code_of("edge-7", world.gate()), pass) << "it does not change with each look";
    EXPECT_NE(code_of("edge-8", world.gate()), pass);
    world.look(3'000, 3'050, up);
    EXPECT_EQ(world.gate().standing, Standing::lost);
    const std::string lost = code_of("edge-7", world.gate());
    EXPECT_NE(lost, "");
    EXPECT_NE(lost, pass);
    GateFinding finding = world.gate();
    finding.standing = Standing::unseen;
    EXPECT_EQ(code_of("edge-7", finding), "");
    finding.standing = Standing::settling;
    EXPECT_EQ(code_of("edge-7", finding), "");
}

TEST(gate_code, of_a_failure_says_which) {
    GateFinding finding;
    finding.id = "g";
    finding.verdict = Verdict::fail;
    finding.failure = Failure::not_seen;
    const std::string not_seen = code_of("edge-7", finding);
    finding.failure = Failure::seen_false;
    EXPECT_NE(code_of("edge-7", finding), not_seen);
    finding.id = "job.step";
    EXPECT_EQ(code_of("edge-7", finding), "") << "the procedure's step has a code of its own";
    finding.id = "g";
    finding.verdict = Verdict::cancelled;
    EXPECT_EQ(code_of("edge-7", finding), "");
}

} // namespace
} // namespace slotwitness::witness::test
