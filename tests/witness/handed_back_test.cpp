#include "job.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

// How a procedure ends: everything is as it was, meant to change, or waived by name.
namespace slotwitness::witness::test {
namespace {

using testing::HasSubstr;

ProcedureOpened whole_job() {
    ProcedureOpened opening = small_job();
    opening.whole = {"planes", "trays"};
    opening.handback.work = {Work::reseat, Component{Kind::fan_tray, "A"}, ""};
    opening.handback.gap = ms(6'000);
    return opening;
}

/// All steps have ended, at 8.15 s; the chassis was not looked at since.
struct Ended : Job {
    explicit Ended(const ProcedureOpened& opening = whole_job()) : Job(opening) {
        reach_seat();
        release(5'200, "seat");
        device.tray_a = 'u';
        confirm(6'000, "seat");
        look(6'100);
        look(7'000);
        release(7'200, "raise");
        device.plane_3 = 'u';
        confirm(8'000, "raise");
        look(8'100);
    }
    void close(std::int64_t t, Closing how = Closing::done) {
        act(t, ProcedureClosed{"job", how, "Ada", "T-1", "It is enough."});
    }
    void waive(std::int64_t t, const Component& what, const std::string& reason = "It is known.") {
        act(t, DifferenceWaived{"job", what, "Grace", reason});
    }
    [[nodiscard]] HandbackFinding handback() const { return all<HandbackFinding>().back(); }
    [[nodiscard]] Fate fate(const Component& component) const {
        for (const HandbackItem& item : handback().items)
            if (item.component == component)
                return item.fate;
        throw std::logic_error("the handback does not name it");
    }
};

const Component tray_b{Kind::fan_tray, "B"};

TEST(handed_back, only_after_a_whole_look_that_was_asked_after_the_last_step) {
    Ended job;
    EXPECT_EQ(job.told().step, "");
    job.close(8'500);
    EXPECT_THAT(job.refused(), HasSubstr("not looked at as a whole since the last step"));
    job.look(9'000);
    EXPECT_TRUE(job.handback().at_end);
    job.close(9'500);
    EXPECT_EQ(job.refused(), "");
    EXPECT_EQ(job.told().outcome, Closing::done);
}

TEST(handed_back, not_upon_a_look_that_is_too_old) {
    Ended job;
    job.look(9'000);
    job.close(15'101);
    EXPECT_THAT(job.refused(), HasSubstr("not looked at as a whole"));
    EXPECT_FALSE(job.handback().seen);
}

TEST(handed_back, not_while_something_differs_that_was_not_meant_to) {
    Ended job;
    job.device.tray_b = 'd';
    job.look(9'000);
    EXPECT_EQ(job.fate(tray_b), Fate::not_meant_to_change);
    EXPECT_EQ(job.told().word, Word::call);
    EXPECT_THAT(job.told().text, HasSubstr("fan-tray B"));
    job.close(9'500);
    EXPECT_THAT(job.refused(), HasSubstr("fan-tray B"));
    EXPECT_EQ(job.told().phase, Phase::forward);
    job.close(9'600, Closing::closed_degraded);
    EXPECT_EQ(job.refused(), "") << "that it always may";
}

TEST(handed_back, not_while_it_is_not_known_whether_something_differs) {
    Ended job;
    job.device.tray_b = '?';
    job.look(9'000);
    EXPECT_EQ(job.fate(tray_b), Fate::not_known);
    EXPECT_EQ(job.told().word, Word::wait);
    job.close(9'500);
    EXPECT_THAT(job.refused(), HasSubstr("Not known to be as it was: fan-tray B"));
}

TEST(handed_back, with_what_a_named_person_waives_for_a_reason) {
    Ended job;
    job.device.tray_b = 'd';
    job.look(9'000);
    job.waive(9'100, tray_b, "");
    EXPECT_THAT(job.refused(), HasSubstr("no reason"));
    job.waive(9'200, {Kind::fan_tray, "C"});
    EXPECT_THAT(job.refused(), HasSubstr("a part that the handback names"));
    job.waive(9'300, tray_b);
    EXPECT_EQ(job.refused(), "");
    EXPECT_EQ(job.fate(tray_b), Fate::waived);
    EXPECT_EQ(job.told().word, Word::wait);
    job.look(10'000);
    EXPECT_EQ(job.fate(tray_b), Fate::waived);
    job.close(10'500);
    EXPECT_EQ(job.refused(), "");
    EXPECT_EQ(job.told().outcome, Closing::done);
}

TEST(handed_back, with_an_exception_that_was_accepted_at_the_opening) {
    ProcedureOpened opening = whole_job();
    opening.handback.accepted = {{tray_b, "It is why we came."}};
    Ended job(opening);
    job.device.tray_b = 'd';
    job.look(9'000);
    EXPECT_EQ(job.fate(tray_b), Fate::waived);
    job.close(9'500);
    EXPECT_EQ(job.refused(), "");
}

TEST(handed_back, an_accepted_exception_makes_no_gate_pass) {
    ProcedureOpened opening = whole_job();
    opening.handback.accepted = {{{Kind::plane, "2"}, "It is why we came."}};
    Job job(opening);
    job.device.plane_2 = 'd';
    job.look(1'000);
    EXPECT_EQ(job.gate("job.shut").verdict, Verdict::pending);
    EXPECT_EQ(job.gate("job.shut").truth, F);
    EXPECT_EQ(job.told().word, Word::stop) << "nor does it hold a rule";
}

TEST(handed_back, never_as_done_if_the_state_before_the_work_was_not_kept) {
    Job job(whole_job());
    job.act(500, StepForced{job.upon("shut"), false, "There is no time."});
    job.look(1'000); // the first whole answers come only now
    job.confirm(1'500, "shut");
    for (const char* step : {"shut", "pull", "seat", "raise"})
        job.act(2'000, StepForced{job.upon(step), true, "There is no time."});
    job.device.plane_3 = 'u';
    job.look(3'000);
    ASSERT_EQ(job.told().step, "");
    job.act(3'500, ProcedureClosed{"job", Closing::done, "Ada", "", ""});
    EXPECT_THAT(job.refused(), HasSubstr("no baseline from before the work"));
}

TEST(handed_back, not_upon_looks_from_before_a_restart) {
    Ended job;
    job.look(9'000);
    job.run(9'200, true, {{Kind::plane, {"1", "2", "3"}}, {Kind::fan_tray, {"A", "B"}}});
    job.close(9'500);
    EXPECT_THAT(job.refused(), HasSubstr("not looked at as a whole"));
    job.look(10'000);
    job.close(10'500);
    EXPECT_EQ(job.refused(), "");
}

} // namespace
} // namespace slotwitness::witness::test
