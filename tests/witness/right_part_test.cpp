#include "job.hpp"

#include <slotwitness/witness/right_part.hpp>
#include <slotwitness/witness/serial.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::witness::test {
namespace {

using testing::HasSubstr;

const Component the_slot{Kind::module, "FAB3"};

/// A whole list of the modules: "" is an empty slot, "?" a module that tells no serial.
Sheet slot_with(const std::string& serial) {
    Sheet sheet({Kind::module});
    if (serial.empty())
        return sheet;
    Facts told = facts(state::AdminState::unlocked, state::OperState::enabled);
    if (serial != "?")
        told.emplace_back(Attribute::serial, serial);
    return sheet.row(Kind::module, "FAB3", told);
}

/// What was seen one look after the other; the first is that of before the work.
class Slot {
  public:
    Slot(Work what, const std::string& spare, const std::string& before)
        : part_("job", WorkPlan{what, the_slot, spare}) {
        part_.keep({BaselineFixed{7, at(0), {}, "Ada"}, {heard(slot_with(before), "then")}});
    }
    Slot& then(const std::string& serial) {
        part_.look(view({slot_with(serial)}));
        return *this;
    }
    Slot& back() {
        part_.turn_back();
        return *this;
    }
    [[nodiscard]] Truth right() const { return part_.finding().right; }
    RightPart part_;
};

TEST(right_part, of_a_replacement_is_the_spare_and_no_other) {
    const auto replaced = [](const std::string& before) {
        return Slot(Work::replace, "NEW-1", before);
    };
    EXPECT_EQ(replaced("OLD").then("OLD").right(), Truth::unknown) << "not changed yet";
    EXPECT_EQ(replaced("OLD").then("").right(), Truth::unknown);
    EXPECT_EQ(replaced("OLD").then("").then("?").right(), Truth::unknown) << "it tells none yet";
    EXPECT_EQ(replaced("OLD").then("").then("new 1").right(), Truth::yes);
    EXPECT_EQ(replaced("OLD").then("").then("ELSE").right(), Truth::no);
    EXPECT_EQ(replaced("OLD").then("").then("OLD").right(), Truth::no);
    EXPECT_EQ(replaced("OLD").then("ELSE").right(), Truth::no) << "changed between two looks";
    EXPECT_EQ(replaced("OLD").then("").then("ELSE").then("").right(), Truth::unknown);
    EXPECT_EQ(replaced("OLD").then("").then("ELSE").then("").then("NEW1").right(), Truth::yes);
    EXPECT_EQ(replaced("?").then("ELSE").right(), Truth::unknown) << "it may be the old one";
    EXPECT_EQ(replaced("?").then("").then("ELSE").right(), Truth::no);
    EXPECT_EQ(replaced("").then("ELSE").right(), Truth::no) << "the slot was empty before";
}

TEST(right_part, is_any_but_the_old_one_where_no_spare_was_named) {
    const auto replaced = [](const std::string& before) { return Slot(Work::replace, "", before); };
    EXPECT_EQ(replaced("OLD").then("").then("ELSE").right(), Truth::yes);
    EXPECT_EQ(replaced("OLD").then("").then("OLD").right(), Truth::no);
    EXPECT_EQ(replaced("?").then("").then("ELSE").right(), Truth::unknown);
}

TEST(right_part, of_a_reseat_a_refit_and_the_way_back_is_the_one_that_was_there) {
    for (const Work what : {Work::reseat, Work::refit}) {
        EXPECT_EQ(Slot(what, "", "OLD").then("").then("OLD").right(), Truth::yes);
        EXPECT_EQ(Slot(what, "", "OLD").then("ELSE").right(), Truth::no);
        EXPECT_EQ(Slot(what, "", "?").then("ELSE").right(), Truth::unknown);
    }
    const auto turned = [](const std::string& before_turning) {
        return Slot(Work::replace, "NEW", "OLD").then("").then(before_turning).back();
    };
    EXPECT_EQ(turned("NEW").right(), Truth::unknown) << "it comes out first";
    EXPECT_EQ(turned("ELSE").then("ELSE").right(), Truth::unknown);
    EXPECT_EQ(turned("NEW").then("").then("OLD").right(), Truth::yes);
    EXPECT_EQ(turned("NEW").then("").then("NEW").right(), Truth::no);
    EXPECT_EQ(turned("").then("NEW").right(), Truth::no);
}

TEST(right_part, that_is_wrong_is_told_with_both_serials_until_somebody_answers) {
    Slot slot = Slot(Work::replace, "NEW", "OLD").then("").then("ELSE");
    EXPECT_TRUE(slot.part_.is_wrong());
    EXPECT_EQ(slot.part_.said(),
              "The device reports serial ELSE in module FAB3; meant is the spare NEW");
    EXPECT_THAT(slot.part_.wrong().remedy, HasSubstr("Answer for the serial"));
    EXPECT_TRUE(slot.part_.answer("Ada", "The label was misread."));
    EXPECT_FALSE(slot.part_.is_wrong());
    EXPECT_EQ(slot.right(), Truth::no) << "an answer makes it no other part";
    EXPECT_FALSE(slot.part_.answer("Ada", "Again.")) << "there is nothing left to answer";
    slot.then("ELSE");
    EXPECT_FALSE(slot.part_.is_wrong());
    slot.then("OTHER");
    EXPECT_TRUE(slot.part_.is_wrong()) << "another part than the one answered for";
    slot.then("OLD");
    EXPECT_THAT(slot.part_.said(), HasSubstr("OLD in module FAB3, the old part's; meant"));
}

TEST(right_part, cannot_be_answered_for_while_none_is_wrong) {
    Slot slot(Work::replace, "NEW", "OLD");
    EXPECT_FALSE(slot.part_.answer("Ada", "why not"));
    EXPECT_FALSE(slot.then("").then("NEW").part_.answer("Ada", "why not"));
}

TEST(right_part, is_told_by_whole_answers_alone) {
    Slot slot(Work::replace, "NEW", "OLD");
    slot.part_.look(view({slot_with("").cut()}));
    EXPECT_EQ(slot.then("OLD").right(), Truth::unknown) << "nobody saw the slot empty";
}

ProcedureOpened replacing_tray_a() {
    ProcedureOpened opening = small_job();
    opening.whole = {"planes", "trays"};
    opening.handback.work = {Work::replace, Component{Kind::fan_tray, "A"}, "NEW"};
    opening.handback.gap = ms(6'000);
    return opening;
}

/// Tray A was replaced by one with this serial, and that was seen: 7.1 s.
struct Replaced : Job {
    explicit Replaced(const std::string& serial,
                      const ProcedureOpened& opening = replacing_tray_a(), char tray_b = 'u')
        : Job(opening) {
        device.serial_a = "OLD";
        device.tray_b = tray_b;
        reach_seat();
        release(5'200, "seat");
        device.tray_a = 'u';
        device.serial_a = serial;
        confirm(6'000, "seat");
        look(6'100);
        look(7'000);
    }
    [[nodiscard]] PartFinding part() const { return all<PartFinding>().back(); }
};

TEST(right_part, that_is_wrong_is_a_call_and_nothing_is_released_before_somebody_answers) {
    Replaced job("ELSE");
    EXPECT_EQ(job.told().word, Word::call);
    EXPECT_EQ(job.told().text,
              "The device reports serial ELSE in fan tray A; meant is the spare NEW.");
    EXPECT_EQ(job.told().advice->first, "call");
    EXPECT_NE(job.told().code, "");
    job.release(7'200, "raise");
    EXPECT_THAT(job.refused(), HasSubstr("Answer for the serial"));
    job.act(7'300, StopAnswered{"job", StopAnswered::Of::serial, "", "Ada", ""});
    EXPECT_THAT(job.refused(), HasSubstr("no reason"));
    job.act(7'300, StopAnswered{"job", StopAnswered::Of::serial, "", "Ada", "It was misread."});
    EXPECT_EQ(job.refused(), "");
    EXPECT_EQ(job.part().answered_by, "Ada");
    job.release(7'400, "raise");
    EXPECT_EQ(job.refused(), "");
    EXPECT_EQ(job.step("raise").stage, Stage::released);
    EXPECT_EQ(job.told().word, Word::call) << "an answer never shows STATE MET";
    EXPECT_THAT(job.told().text, HasSubstr("Ada has answered for it"));
}

TEST(right_part, that_is_the_old_one_again_is_told_by_the_same_look) {
    Replaced job("OLD");
    EXPECT_EQ(job.told().word, Word::call);
    EXPECT_THAT(job.told().text, HasSubstr("OLD in fan tray A, the old part's; meant is"));
}

TEST(right_part, that_is_the_spare_holds_nothing_up) {
    Replaced job("NEW");
    EXPECT_EQ(job.part().right, Truth::yes);
    job.release(7'200, "raise");
    EXPECT_EQ(job.refused(), "");
    EXPECT_EQ(job.told().word, Word::state_met);
}

TEST(right_part, that_is_wrong_keeps_nobody_from_an_act_while_the_cooling_clock_runs) {
    ProcedureOpened opening = replacing_tray_a();
    opening.rules.pop_back(); // tray B is the one whose absence counts here
    opening.cooling->tray = "B";
    opening.cooling->back.sentence = "fan-tray B operational";
    Replaced job("ELSE", opening, 'd');
    EXPECT_EQ(job.told().word, Word::call);
    EXPECT_THAT(job.told().advice->say, HasSubstr("The cooling clock runs on."));
    job.release(7'200, "raise");
    EXPECT_EQ(job.refused(), "");
}

TEST(right_part, of_no_work_slot_is_nothing_to_tell) {
    Job job;
    job.reach_pull();
    EXPECT_TRUE(job.all<PartFinding>().empty());
}

TEST(accepted, before_the_work_names_a_part_of_the_chassis_and_why) {
    const auto refused = [](const Exception& exception) {
        ProcedureOpened opening = replacing_tray_a();
        opening.handback.accepted = {exception};
        return Job(opening).refused();
    };
    EXPECT_EQ(refused({{Kind::fan_tray, "B"}, "It is loud."}), "");
    EXPECT_THAT(refused({{Kind::fan_tray, "C"}, "It is loud."}), HasSubstr("A, B"));
    EXPECT_THAT(refused({{Kind::fan_tray, "B"}, ""}), HasSubstr("without a reason"));
}

TEST(same_serial, passes_over_case_blanks_and_punctuation_and_nothing_else) {
    EXPECT_TRUE(same_serial("QL4010-0099", "ql 4010 0099"));
    EXPECT_FALSE(same_serial("QL40100099", "QL40100098"));
    EXPECT_FALSE(same_serial("QL40100099", "0099"));
    EXPECT_FALSE(same_serial("-", " ")) << "neither says anything";
}

} // namespace
} // namespace slotwitness::witness::test
