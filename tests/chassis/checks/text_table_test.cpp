#include <slotwitness/chassis/text_table.hpp>

#include <gtest/gtest.h>

namespace slotwitness::chassis {
namespace {

TEST(TextTable, pads_columns_to_their_longest_cell_and_ends_lines_without_blanks) {
    EXPECT_EQ(to_text(TextTable{.columns = {{"A"}, {"NUMBER", true}, {"C"}},
                                .rows = {{"long one", "1", ""}, {"b", "22", "x"}}}),
              "A         NUMBER  C\n"
              "--------  ------  -\n"
              "long one       1\n"
              "b             22  x\n");
}

TEST(TextTable, wraps_words_into_lines_without_a_first_cell) {
    EXPECT_EQ(to_text(TextTable{.columns = {{"A"}, {"TEXT", false, 9}, {"B"}},
                                .rows = {{"1", "one two three four", "x"}, {"2", "", "y"}}}),
              "A  TEXT     B\n"
              "-  -------  -\n"
              "1  one two  x\n"
              "   three\n"
              "   four\n"
              "2           y\n");
}

TEST(TextTable, repeats_its_header) {
    EXPECT_EQ(
        to_text(TextTable{
            .columns = {{"A"}}, .rule = false, .header_every = 2, .rows = {{"1"}, {"2"}, {"3"}}}),
        "A\n1\n2\nA\n3\n");
}

TEST(TextTable, without_rows_it_is_its_header) {
    EXPECT_EQ(to_text(TextTable{.columns = {{"A"}, {"B"}}}), "A  B\n-  -\n");
}

TEST(TextRecord, puts_one_label_on_a_line) {
    EXPECT_EQ(to_text(TextRecord{"Thing X", {{"One", "1"}, {"None", ""}}}),
              "Thing X\nOne: 1\nNone:\n");
}

} // namespace
} // namespace slotwitness::chassis
