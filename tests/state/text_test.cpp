#include <slotwitness/state/reading.hpp>

#include <gtest/gtest.h>

namespace slotwitness::state {
namespace {

TEST(Values, are_printed_as_a_person_reads_them) {
    EXPECT_EQ(to_text(Value{Unknown{}}), "unknown");
    EXPECT_EQ(to_text(Value{AdminState::locked}), "locked");
    EXPECT_EQ(to_text(Value{StandbyState::hot_standby}), "hot-standby");
    EXPECT_EQ(to_text(Value{std::string{"QS-1"}}), "QS-1");
    EXPECT_EQ(to_text(Value{Names{"1", "2"}}), "1, 2");
    EXPECT_EQ(to_text(Value{Names{}}), "");
    EXPECT_EQ(to_text(Value{units::parse_quantity("38.5 C").value()}), "38.5 C");
}

TEST(Problems, name_place_finding_expectation_and_remedy) {
    EXPECT_EQ(to_text(Problem{"profile.toml", {12, 7}, "opne", "one of a, b", "Write a."}),
              "profile.toml:12:7: found \"opne\", expected one of a, b; Write a.");
    EXPECT_EQ(to_text(Problem{"sentence", {1, 9}, "end of text", "a name", ""}),
              "sentence:1:9: found end of text, expected a name");
    EXPECT_EQ(to_text(Problem{"", {}, "", "", "Give a name."}), "Give a name.");
    EXPECT_EQ(to_text(Problem{"", {3, 0}, "", "a key", ""}), "3: expected a key");
}

TEST(Problems, cannot_steer_the_terminal_that_shows_them) {
    EXPECT_EQ(to_text(Problem{"f", {1, 1}, "a\x1b[2J\n", "", ""}),
              "f:1:1: found \"a\\x1b[2J\\x0a\"");
}

} // namespace
} // namespace slotwitness::state
