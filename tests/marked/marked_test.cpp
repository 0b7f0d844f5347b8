#include <slotwitness/marked/marked.hpp>

#include <gtest/gtest.h>

#include <string>

namespace slotwitness::marked {
namespace {

std::string marks_of(const std::vector<MarkedLine>& lines) {
    std::string text;
    for (const MarkedLine& line : lines)
        text += to_word(line.mark).front(); // l, r, a, u
    return text;
}

state::Row row(std::size_t line, std::string text) {
    return {state::Kind::module, "FAB1", {line, 1}, std::move(text), {}};
}

TEST(MarkLines, each_line_has_what_became_of_it) {
    state::Reading reading;
    reading.rows.push_back(row(3, "FAB1 up"));
    reading.unread.push_back({4, "what?", 2, "a row"});
    reading.set_aside.push_back({5, "pager"});
    const auto lines = mark_lines("NAME\n----\nFAB1 up\nwhat?\n-- more --\n", reading);
    EXPECT_EQ(marks_of(lines), "llrua");
    EXPECT_EQ(lines[2].ends_rows, std::vector<std::size_t>{0});
    EXPECT_EQ(lines[3].expected, (std::vector<Note>{{2, "a row"}}));
    EXPECT_EQ(lines[4].why, "pager");
}

TEST(MarkLines, line_ends_are_no_text) {
    const auto lines = mark_lines("a\r\nb", {});
    ASSERT_EQ(lines.size(), 2U);
    EXPECT_EQ(lines[0].text, "a");
    EXPECT_EQ(lines[1].text, "b");
}

TEST(MarkLines, a_row_goes_on_below_what_was_set_aside_amid_it) {
    state::Reading reading;
    reading.rows.push_back(row(1, "FAB1 Fabric\n     module"));
    reading.set_aside.push_back({2, "pager"});
    const auto lines = mark_lines("FAB1 Fabric\n-- more --\n     module\n", reading);
    EXPECT_EQ(marks_of(lines), "rar");
    EXPECT_TRUE(lines[0].ends_rows.empty());
    EXPECT_EQ(lines[2].ends_rows, std::vector<std::size_t>{0}) << "its facts stand below its end";
}

TEST(MarkLines, a_row_goes_on_below_a_blank_line) {
    state::Reading reading;
    reading.rows.push_back(row(1, "a\nb"));
    EXPECT_EQ(marks_of(mark_lines("a\n\nb\n", reading)), "rlr");
}

TEST(MarkLines, two_rows_may_share_a_line) {
    state::Reading reading;
    reading.rows = {row(1, "[1,2]"), row(1, "[1,2]")};
    const auto lines = mark_lines("[1,2]\n", reading);
    ASSERT_EQ(lines.size(), 1U);
    EXPECT_EQ(lines[0].ends_rows, (std::vector<std::size_t>{0, 1}));
}

TEST(MarkLines, a_block_without_a_name_is_unread_in_all_its_lines) {
    state::Reading reading;
    reading.unread.push_back({2, "Serial: 1\nState: up", 1, "a name"});
    EXPECT_EQ(marks_of(mark_lines("\nSerial: 1\nState: up\n", reading)), "luu");
}

TEST(MarkLines, what_is_said_of_the_end_stands_after_the_last_line) {
    state::Reading reading;
    reading.unread.push_back({1, "", 1, "a header"});
    ASSERT_EQ(mark_lines("", reading).size(), 1U);
    reading.unread.front().line = 3;
    const auto lines = mark_lines("a\n", reading);
    ASSERT_EQ(lines.size(), 2U);
    EXPECT_EQ(marks_of(lines), "lu");
    EXPECT_TRUE(lines[1].text.empty());
}

TEST(MarkLines, remarks_keep_their_columns_and_their_order) {
    state::Reading reading;
    reading.rows.push_back(row(1, "FAB1 ?"));
    reading.remarks = {{{1, 6}, "first"}, {{1, 6}, "second"}};
    const auto lines = mark_lines("FAB1 ?\n", reading);
    EXPECT_EQ(lines[0].remarks, (std::vector<Note>{{6, "first"}, {6, "second"}}));
    EXPECT_EQ(lines[0].mark, Mark::row);
}

} // namespace
} // namespace slotwitness::marked
