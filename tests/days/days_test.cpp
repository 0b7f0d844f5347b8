#include "close_out.hpp"
#include "day.hpp"

#include <slotwitness/readback/code_book.hpp>

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>

// Good and bad days of the shipped procedures, each as its rehearsal says. What must be shown, with
// which advice, and how the work ends stands in fixtures/quillon/rehearsals.
namespace slotwitness::days {
namespace {

std::vector<std::string> all_rehearsals() {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(family + "/rehearsals"))
        if (entry.path().extension() == ".toml")
            names.push_back(entry.path().stem().string());
    std::sort(names.begin(), names.end());
    return names;
}

std::vector<std::string> bad_days() {
    std::vector<std::string> names = all_rehearsals();
    std::erase_if(names, [](const std::string& name) {
        return name.starts_with("good-") || name.starts_with("back-");
    });
    return names;
}

std::string named(const testing::TestParamInfo<std::string>& info) {
    std::string name = info.param;
    std::replace(name.begin(), name.end(), '-', '_');
    return name;
}

class Days : public testing::TestWithParam<std::string> {};
INSTANTIATE_TEST_SUITE_P(Rehearsed, Days, testing::ValuesIn(all_rehearsals()), named);

TEST_P(Days, goes_as_written_and_its_journal_replays_to_the_same) {
    const PlayedDay& day = played(GetParam());
    for (const std::string& fault : day.faults)
        ADD_FAILURE() << fault << "\n" << day.told;
    EXPECT_EQ(day.replayed, "");
}

TEST_P(Days, has_codes_of_which_no_misheard_character_makes_another_ones) {
    const std::size_t decisions = played(GetParam()).decisions;
    EXPECT_GT(decisions, 0U);
    EXPECT_LE(decisions, readback::two_apart);
}

class BadDays : public testing::TestWithParam<std::string> {};
INSTANTIATE_TEST_SUITE_P(Rehearsed, BadDays, testing::ValuesIn(bad_days()), named);

TEST_P(BadDays, end_with_the_right_close_out_card) {
    const card::Card card = played(GetParam()).card();
    EXPECT_TRUE(card.is_closed());
    EXPECT_EQ(in_short(card), close_out_of(GetParam()));
    for (const card::Deed& deed : card.deeds)
        EXPECT_FALSE(deed.by.empty()) << to_word(deed.kind);
    EXPECT_FALSE(card.opened.by.empty());
    EXPECT_EQ(card.chassis_serial->text, "QL40000017"); // the simulated chassis' own
}

TEST(RightChassis, is_not_known_by_characters_in_which_another_serial_ends_too) {
    Day day("QL99990017"); // the chassis under work is QL40000017
    const rehearsal::Played played = day.play(rehearsal_of("good-day"));
    ASSERT_EQ(played.faults.size(), 1) << day.told();
    EXPECT_NE(
        played.faults.front().find("0017, in which the serial of chassis edge-8 ends as well"),
        std::string::npos)
        << played.faults.front();
}

TEST(RunSheet, of_an_open_procedure_shows_its_slots_as_printed_and_begins_its_codes) {
    Day day;
    const rehearsal::Played played = day.play(rehearsal_of("wrong-slot-pulled"));
    ASSERT_TRUE(played.faults.empty()) << played.faults.front();
    const auto sheet = day.desk().run_sheet(played.procedure);
    ASSERT_TRUE(sheet);
    EXPECT_NE(sheet->find("<b>REAR 3</b><i>FAB3</i><em>work slot</em>"), std::string::npos);
    // The tray is out, and what is printed at its place is shown all the same, as it was told
    // before.
    EXPECT_NE(sheet->find("<b>REAR FAN 2</b><i>TRAY2</i><em>comes out first</em>"),
              std::string::npos);
    EXPECT_EQ(sheet->find("QL40000017"), std::string::npos)
        << "the serial is to be read from the rack";
    const auto view = day.desk().procedure(played.procedure);
    int released = 0;
    for (const auto& [name, step] : view->record.steps) {
        if (step.code.empty())
            continue;
        ++released;
        const std::string begins =
            std::string("<i>") + step.code[0] + "</i><i>" + step.code[1] + "</i><i></i>";
        EXPECT_NE(sheet->find(begins), std::string::npos) << name;
    }
    EXPECT_EQ(released, 5);
    EXPECT_FALSE(day.desk().run_sheet("nothing"));
}

} // namespace
} // namespace slotwitness::days
