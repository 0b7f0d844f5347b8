#include <slotwitness/sheet/spoken.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::sheet {
namespace {

using testing::ElementsAre;

std::string clause_of(const std::string& sentence) {
    const auto read = sentences::parse(sentence);
    if (!read)
        return state::to_text(read.error());
    const Spoken words = spoken(*read);
    return words.clauses.size() == 1 ? words.clauses.front()
                                     : testing::PrintToString(words.clauses);
}

TEST(Spoken, says_shut_down_by_the_engineer_and_fabric_plane_in_full) {
    EXPECT_EQ(clause_of("plane 3 shut"), "fabric plane 3 is shut down by the engineer");
    EXPECT_EQ(clause_of("every plane served by module FAB3 shut"),
              "every fabric plane served by module FAB3 is shut down by the engineer");
    EXPECT_EQ(clause_of("every module covered by fan-tray TRAY2 operational"),
              "every module behind fan tray TRAY2 is operational");
    EXPECT_EQ(clause_of("every power-supply except PSU1 below 900 W"),
              "every power supply except PSU1 is below 900 W");
}

TEST(Spoken, counts_and_denies) {
    EXPECT_EQ(clause_of("at most 0 plane down"), "no fabric plane is down");
    EXPECT_EQ(clause_of("at most 1 module not operational"), "at most 1 module is not operational");
    EXPECT_EQ(clause_of("at least 2 controller present"), "at least 2 controller is present");
    EXPECT_EQ(clause_of("module FAB3 not present"), "module FAB3 is not present");
    EXPECT_EQ(clause_of("not every plane up"), "it is not so that (every fabric plane is up)");
}

TEST(Spoken, compares_with_what_was) {
    EXPECT_EQ(clause_of("no new alarm at or above major since baseline"),
              "no new alarm at or above major since the baseline");
    EXPECT_EQ(clause_of("module FAB3 serial differs from baseline"),
              "the serial of module FAB3 differs from the baseline");
    EXPECT_EQ(clause_of("every port except eth1 up in baseline is up"),
              "every port except eth1 that was up in the baseline is up");
    EXPECT_EQ(clause_of("errors of plane 3 not rising"),
              "the errors of fabric plane 3 do not rise");
    EXPECT_EQ(clause_of("capacity without plane 3 covers load with 20 % margin"),
              "the capacity without fabric plane 3 covers the load with 20 % margin");
}

TEST(Spoken, what_all_must_hold_is_a_clause_each) {
    const auto sentence = sentences::parse("plane 3 up and (module FAB3 shut or module FAB3 "
                                           "absent) and no alarm for 10 s within 5 min");
    ASSERT_TRUE(sentence);
    const Spoken words = spoken(*sentence);
    EXPECT_THAT(words.clauses,
                ElementsAre("fabric plane 3 is up",
                            "module FAB3 is shut down by the engineer, or module FAB3 is absent",
                            "no alarm"));
    EXPECT_EQ(words.times, "for 10 s, within 5 min");
}

TEST(Spoken, what_belongs_together_stays_together) {
    EXPECT_EQ(
        clause_of("plane 3 up or plane 4 up and (plane 5 up or plane 6 up)"),
        "fabric plane 3 is up, or (fabric plane 4 is up, and (fabric plane 5 is up, or fabric "
        "plane 6 is up))");
}

} // namespace
} // namespace slotwitness::sheet
