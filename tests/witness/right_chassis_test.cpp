#include "job.hpp"

#include <slotwitness/witness/right_chassis.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

using testing::HasSubstr;

/// The small job on a device that tells its serial, up to where its first technician's act waits
/// for its release.
const std::vector<std::string> tells_none;

class Rack : public Job {
  public:
    explicit Rack(std::vector<std::string> serials = {"QL4000-0017"}) : Job(opening()) {
        device.serials = std::move(serials);
        reach_pull();
    }
    static ProcedureOpened opening() {
        ProcedureOpened opening = small_job();
        opening.right_chassis = true;
        return opening;
    }
    void name(std::int64_t t, const std::string& end) {
        act(t, ChassisNamed{"job", end, "Ada", "Bob"});
    }
    void answer_for_it(std::int64_t t) {
        act(t, StopAnswered{"job", StopAnswered::Of::chassis, "", "Ada", "The label was renewed."});
    }
    [[nodiscard]] ChassisFinding chassis() const { return all<ChassisFinding>().back(); }
};

TEST(right_chassis, is_known_before_a_technicians_step_is_released) {
    Rack rack;
    EXPECT_THAT(rack.told().text, HasSubstr("nobody has read the chassis serial from the rack"));
    rack.release(3'200, "pull");
    EXPECT_THAT(rack.refused(), HasSubstr("read the last characters of the chassis serial"));
    EXPECT_EQ(rack.step("pull").stage, Stage::fact);
    rack.name(3'300, "0017");
    EXPECT_EQ(rack.refused(), "");
    EXPECT_EQ(rack.chassis().same, Truth::yes);
    EXPECT_EQ(rack.chassis().named, at(3'300));
    EXPECT_EQ(rack.chassis().on_behalf_of, "Bob");
    rack.release(3'400, "pull");
    EXPECT_EQ(rack.refused(), "");
    EXPECT_EQ(rack.told().word, Word::state_met);
}

TEST(right_chassis, is_not_asked_for_where_the_engineer_acts) {
    Rack rack;
    EXPECT_EQ(rack.step("shut").stage, Stage::done) << "nobody has read a serial yet";
}

TEST(right_chassis, is_not_asked_for_by_a_procedure_opened_without_it) {
    Job job;
    job.reach_pull();
    job.release(3'200, "pull");
    EXPECT_EQ(job.refused(), "");
}

TEST(right_chassis, is_compared_without_case_blanks_and_punctuation) {
    EXPECT_TRUE(is_end_of("QL4000-0017", "00 17"));
    EXPECT_TRUE(is_end_of("QL4000-0017", "ql40000017"));
    EXPECT_TRUE(is_end_of("abc-0017a", "0017A"));
    EXPECT_FALSE(is_end_of("QL40000017", "0018"));
    EXPECT_FALSE(is_end_of("QL40000017", "QL4000"));
    EXPECT_FALSE(is_end_of("0017", "10017"));
}

TEST(right_chassis, takes_no_end_that_is_too_short) {
    Rack rack;
    for (const char* end : {"", "017", " - 017", "-- --"}) {
        rack.name(3'200, end);
        EXPECT_THAT(rack.refused(), HasSubstr("at least the last 4 characters")) << end;
    }
    EXPECT_TRUE(rack.all<ChassisFinding>().empty());
    rack.name(3'200, "10017");
    EXPECT_EQ(rack.chassis().same, Truth::no);
}

TEST(right_chassis, that_is_another_one_stops_the_work_with_both_ends) {
    Rack rack;
    rack.name(3'200, "0018");
    EXPECT_EQ(rack.told().word, Word::stop);
    EXPECT_EQ(rack.told().text, "You may be at another chassis. The serial read from the rack ends "
                                "in 0018, and the device reports 0017.");
    EXPECT_EQ(rack.told().advice->first, "freeze");
    rack.release(3'300, "pull");
    EXPECT_THAT(rack.refused(), HasSubstr("STOP"));
}

TEST(right_chassis, that_is_another_one_is_answered_for_even_when_read_again) {
    Rack rack;
    rack.name(3'200, "0018");
    rack.name(3'300, "0017");
    EXPECT_EQ(rack.told().word, Word::stop);
    rack.answer_for_it(3'400);
    EXPECT_EQ(rack.told().word, Word::wait);
    rack.release(3'500, "pull");
    EXPECT_EQ(rack.told().word, Word::state_met) << rack.refused();
}

TEST(right_chassis, answered_for_while_it_is_another_never_shows_state_met) {
    Rack rack;
    rack.name(3'200, "0018");
    rack.answer_for_it(3'300);
    EXPECT_TRUE(rack.chassis().accepted);
    rack.release(3'400, "pull");
    EXPECT_EQ(rack.refused(), "");
    EXPECT_EQ(rack.told().word, Word::call);
    EXPECT_THAT(rack.told().text, HasSubstr("Ada has answered for it"));
    rack.name(3'500, "0017");
    EXPECT_EQ(rack.told().word, Word::state_met);
}

TEST(right_chassis, is_not_known_where_the_device_tells_no_serial_or_two) {
    for (const auto& serials : {std::vector<std::string>{}, {"QL40000017", "QL40000018"}}) {
        Rack rack(serials);
        rack.name(3'200, "0017");
        EXPECT_EQ(rack.chassis().same, Truth::unknown);
        EXPECT_EQ(rack.told().word, Word::wait) << "nothing says that it is another one";
        rack.release(3'300, "pull");
        EXPECT_THAT(rack.refused(), HasSubstr("the device reports none"));
        rack.answer_for_it(3'400);
        EXPECT_EQ(rack.refused(), "");
        rack.release(3'500, "pull");
        EXPECT_EQ(rack.refused(), "");
        EXPECT_EQ(rack.told().word, Word::call);
    }
}

TEST(right_chassis, cannot_be_answered_for_before_anybody_read_a_serial) {
    Rack rack;
    rack.answer_for_it(3'200);
    EXPECT_THAT(rack.refused(), HasSubstr("what is lost and not answered for"));
    rack.name(3'300, "0017");
    rack.answer_for_it(3'400);
    EXPECT_THAT(rack.refused(), HasSubstr("what is lost and not answered for"));
}

TEST(right_chassis, is_judged_again_by_what_the_device_reports_later) {
    Rack rack(tells_none);
    rack.name(3'200, "0017");
    rack.device.serials = {"QL40000017"};
    rack.look(3'300);
    EXPECT_EQ(rack.chassis().same, Truth::yes);
    rack.device.serials = {"QL40000018"};
    rack.look(4'300);
    EXPECT_EQ(rack.told().word, Word::stop) << "the daemon speaks to another device now";
}

TEST(right_chassis, answered_for_while_it_was_not_known_stops_the_work_if_it_is_another) {
    Rack rack(tells_none);
    rack.name(3'200, "0017");
    rack.answer_for_it(3'300);
    rack.device.serials = {"QL40000018"};
    rack.look(3'400);
    EXPECT_EQ(rack.told().word, Word::stop);
}

TEST(right_chassis, is_kept_over_a_restart_but_read_anew_against_new_answers_alone) {
    Rack rack;
    rack.name(3'200, "0017");
    rack.run(4'000, true, {{Kind::plane, {"1", "2", "3"}}, {Kind::fan_tray, {"A", "B"}}});
    EXPECT_EQ(rack.chassis().same, Truth::yes);
    rack.name(4'100, "0017");
    EXPECT_EQ(rack.chassis().same, Truth::unknown) << "nothing was answered in this run";
    rack.look(5'000);
    EXPECT_EQ(rack.chassis().same, Truth::yes);
}

TEST(right_chassis, is_not_told_by_an_answer_that_was_cut) {
    Rack rack(tells_none);
    rack.begin(3'150, {"trays"});
    Sheet trays({Kind::fan_tray});
    trays.row(Kind::chassis, "self", {{Attribute::serial, std::string("QL40000017")}}).cut();
    rack.answer(3'200, 3'150, trays, "trays");
    rack.name(3'300, "0017");
    EXPECT_EQ(rack.chassis().same, Truth::unknown);
}

TEST(right_chassis, hides_nothing_else_that_is_lost) {
    Rack rack;
    rack.name(3'200, "0018");
    rack.device.plane_1 = 'd';
    rack.look(3'300);
    EXPECT_THAT(rack.told().text, HasSubstr("You may be at another chassis."));
    EXPECT_THAT(rack.told().text, HasSubstr("Also: No longer met: Every other fabric plane"));
    EXPECT_EQ(rack.told().advice->first, "freeze") << "the advice for this chassis is not for them";
}

TEST(right_chassis, needs_the_name_of_who_gave_it) {
    Rack rack;
    rack.act(3'200, ChassisNamed{"job", "0017", "", ""});
    EXPECT_THAT(rack.refused(), HasSubstr("who"));
}

} // namespace
} // namespace slotwitness::witness::test
