#include "sheet.hpp"

#include <slotwitness/layouts/table.hpp>

#include <gmock/gmock.h>

#include <string>
#include <vector>

namespace slotwitness::layouts {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;
using Edges = TableSpec::Edges;
using Texts = std::vector<std::string>;

TableSpec spec(Edges edges, Texts columns, Texts right_aligned = {}, bool wraps = false) {
    return {edges, std::move(columns), std::move(right_aligned), wraps};
}

TEST(Table, cells_begin_where_their_header_does) {
    const Sheet sheet = sheet_of(read_table,
                                 "SLOT  WHAT IT IS    STATE\n"
                                 "FAB3  Fabric part   up\n"
                                 "LINE2               down now\n"
                                 "CTL0  Controller\n",
                                 spec(Edges::header, {"SLOT", "WHAT IT IS", "STATE"}), true);
    EXPECT_THAT(texts(sheet),
                ElementsAre(Texts{"FAB3", "Fabric part", "up"}, Texts{"LINE2", "", "down now"},
                            Texts{"CTL0", "Controller", ""}));
    EXPECT_THAT(sheet.unread, IsEmpty());
    EXPECT_EQ(sheet.blocks[0].cells[1].at, (state::Position{2, 7}));
    EXPECT_EQ(sheet.blocks[1].at, (state::Position{3, 1}));
    EXPECT_EQ(sheet.blocks[1].text, "LINE2               down now");
}

TEST(Table, right_aligned_cells_end_with_their_header_and_reach_left_over_blanks) {
    const Sheet sheet =
        sheet_of(read_table,
                 "PLANE  CARRIES  FAULTS\n"
                 "1      12.8 Tb/s     0\n"
                 "2   400 Gb/s  1234567\n"
                 "3               7\n",
                 spec(Edges::header, {"PLANE", "CARRIES", "FAULTS"}, {"CARRIES", "FAULTS"}), true);
    // The first row is two places off, the third ends short of its header.
    EXPECT_THAT(sheet.unread, SizeIs(3));
    const Sheet aligned =
        sheet_of(read_table,
                 "PLANE  CARRIES  FAULTS\n"
                 "1    12.8 Tb/s       0\n"
                 "2     400 Gb/s 1234567\n"
                 "3                    7\n",
                 spec(Edges::header, {"PLANE", "CARRIES", "FAULTS"}, {"CARRIES", "FAULTS"}), true);
    EXPECT_THAT(texts(aligned),
                ElementsAre(Texts{"1", "12.8 Tb/s", "0"}, Texts{"2", "400 Gb/s", "1234567"},
                            Texts{"3", "", "7"}));
    EXPECT_THAT(aligned.unread, IsEmpty());
}

TEST(Table, one_blank_parts_a_right_aligned_cell_only_where_it_is_the_only_one) {
    const TableSpec disks = spec(Edges::header, {"NAME", "SIZE"}, {"SIZE"});
    EXPECT_THAT(texts(sheet_of(read_table, "NAME        SIZE\nvda 274877906944\n", disks, true)),
                ElementsAre(Texts{"vda", "274877906944"}));
    const Sheet sheet = sheet_of(read_table, "NAME        SIZE\nmy disk 77906944\n", disks, true);
    ASSERT_THAT(sheet.unread, SizeIs(1));
    EXPECT_THAT(sheet.unread[0].expected,
                HasSubstr("two blanks before the right-aligned cell of \"SIZE\""));
}

TEST(Table, a_cell_that_straddles_an_edge_leaves_its_line_unread) {
    const Sheet sheet = sheet_of(read_table,
                                 "SLOT  STATE  SERIAL\n"
                                 "FAB3  up     A1\n"
                                 "LINE22 down  A2\n"
                                 "CTL0  enabled A3\n",
                                 spec(Edges::header, {"SLOT", "STATE", "SERIAL"}), true);
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"FAB3", "up", "A1"}));
    ASSERT_THAT(sheet.unread, SizeIs(2));
    EXPECT_EQ(sheet.unread[0],
              (state::UnreadLine{3, "LINE22 down  A2", 6, "a blank before the column \"STATE\""}));
    EXPECT_EQ(sheet.unread[1].line, 4U);
    EXPECT_EQ(sheet.unread[1].column, 13U);
}

TEST(Table, the_rule_gives_each_column_its_width) {
    const Sheet sheet = sheet_of(read_table,
                                 "NO  WHAT\n"
                                 "--  ---------\n"
                                 " 1  Fan tray\n"
                                 "12  Too hot by far\n"
                                 "13 x\n",
                                 spec(Edges::rule, {"NO", "WHAT"}), true);
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"1", "Fan tray"}));
    ASSERT_THAT(sheet.unread, SizeIs(2));
    EXPECT_EQ(sheet.unread[0].column, 14U);
    EXPECT_THAT(sheet.unread[0].expected, HasSubstr("end of the line with the dashes of \"WHAT\""));
    EXPECT_EQ(sheet.unread[1].column, 4U);
    EXPECT_THAT(sheet.unread[1].expected, HasSubstr("blanks up to the column \"WHAT\""));
}

TEST(Table, nothing_stands_between_the_dashes_and_what_does_is_named) {
    const TableSpec spec{Edges::rule, {"A", "B"}};
    const std::string top = "A    B\n---  ---\n";
    const auto column_of = [&](const std::string& row) {
        const Sheet sheet = sheet_of(read_table, top + row + "\n", spec, true);
        return sheet.unread.empty() ? 0 : sheet.unread.front().column;
    };
    EXPECT_EQ(column_of("x  y"), 4U);     // between the columns, and the line ends there
    EXPECT_EQ(column_of("xxx yyyy"), 5U); // between the columns
    EXPECT_EQ(column_of("xxx  yyyy"), 9U);
    EXPECT_EQ(column_of("x"), 0U);
    const Sheet sheet = sheet_of(read_table, top + "xxx\n     y\n", spec, true);
    ASSERT_EQ(sheet.blocks.size(), 2U);
    EXPECT_EQ(sheet.blocks[0].cells[1].at, (state::Position{3, 4})); // empty, past the end
    EXPECT_EQ(sheet.blocks[1].cells[0].at, (state::Position{4, 1})); // empty
    EXPECT_EQ(sheet.blocks[1].at, (state::Position{4, 6}));
}

TEST(Table, a_short_or_missing_rule_opens_no_table) {
    for (const char* rule : {"-- ", "-- ----- --", "-  ----", "up down", "--  --"}) {
        const Sheet sheet = sheet_of(read_table, std::string{"NO  WHAT\n"} + rule + "\n1   x\n",
                                     spec(Edges::rule, {"NO", "WHAT"}), true);
        EXPECT_THAT(sheet.blocks, IsEmpty()) << rule;
        EXPECT_THAT(sheet.unread, SizeIs(3))
            << rule; // the rule, the row, and that there was no table
    }
}

TEST(Table, blank_columns_take_words_and_the_last_the_rest) {
    const Sheet sheet = sheet_of(read_table,
                                 "lo               UNKNOWN        127.0.0.1/8 ::1/128 \n"
                                 "eth0@if7         DOWN           \n"
                                 "eth1\n",
                                 spec(Edges::blanks, {"NAME", "STATE", "ADDRESSES"}), true);
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"lo", "UNKNOWN", "127.0.0.1/8 ::1/128"},
                                          Texts{"eth0@if7", "DOWN", ""}));
    ASSERT_THAT(sheet.unread, SizeIs(1));
    EXPECT_EQ(sheet.unread[0], (state::UnreadLine{3, "eth1", 5, "the column \"STATE\""}));
}

TEST(Table, a_line_with_a_blank_first_column_continues_the_row_above) {
    TableSpec wrapping = spec(Edges::rule, {"SLOT", "WHAT", "PLANES"}, {}, true);
    wrapping.rows_after_blank = true;
    const Sheet sheet = sheet_of(read_table,
                                 "SLOT  WHAT      PLANES\n"
                                 "----  --------  ------\n"
                                 "FAB3  Fabric    1, 2,\n"
                                 "      module    3\n"
                                 "      of two\n"
                                 "CTL0  Control\n"
                                 "\n"
                                 "      lost\n",
                                 wrapping, true);
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"FAB3", "Fabric module of two", "1, 2, 3"},
                                          Texts{"CTL0", "Control", ""}));
    EXPECT_EQ(sheet.blocks[0].text, "FAB3  Fabric    1, 2,\n      module    3\n      of two");
    ASSERT_THAT(sheet.unread, SizeIs(1));
    EXPECT_THAT(sheet.unread[0].expected, HasSubstr("a row above that this line continues"));
}

TEST(Table, a_line_after_a_blank_one_is_a_footer_unless_rows_may_go_on_there) {
    TableSpec slots = spec(Edges::header, {"SLOT AND NAME", "STATE"});
    const std::string answer = "SLOT AND NAME  STATE\n\nFAB3           up\n\n2 slots.\n\nSLOT AND "
                               "NAME  STATE\nFAB4           up\n";
    const Sheet sheet = sheet_of(read_table, answer, slots, true);
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"FAB3", "up"}, Texts{"FAB4", "up"}));
    ASSERT_THAT(sheet.unread, SizeIs(1));
    EXPECT_EQ(sheet.unread[0],
              (state::UnreadLine{5, "2 slots.", 1,
                                 "the header \"SLOT AND NAME\" \"STATE\" after a blank line"}));
    slots.rows_after_blank = true;
    EXPECT_THAT(texts(sheet_of(read_table, answer, slots, true)),
                ElementsAre(Texts{"FAB3", "up"}, Texts{"2 slots.", ""}, Texts{"FAB4", "up"}));
}

TEST(Table, a_wrapped_row_with_an_unread_line_is_unread_as_a_whole) {
    const Sheet sheet = sheet_of(read_table,
                                 "SLOT  WHAT\n"
                                 "----  --------\n"
                                 "FAB3  Fabric\n"
                                 "    x module\n"
                                 "CTL0  Control\n",
                                 spec(Edges::rule, {"SLOT", "WHAT"}, {}, true), true);
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"CTL0", "Control"}));
    ASSERT_THAT(sheet.unread, SizeIs(2));
    EXPECT_EQ(sheet.unread[0].line, 3U);
    EXPECT_EQ(sheet.unread[1].line, 4U);
}

TEST(Table, a_repeated_header_begins_anew) {
    const Sheet sheet = sheet_of(read_table, "A   B\n1   x\nA      B\n2      y\n",
                                 spec(Edges::header, {"A", "B"}), true);
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"1", "x"}, Texts{"2", "y"}));
    EXPECT_THAT(sheet.unread, IsEmpty());
}

TEST(Table, dashes_right_under_a_header_and_a_closing_rule_are_no_rows) {
    const Sheet sheet = sheet_of(read_table, "A   B\n--- ---\n1   x\n--- ---\n",
                                 spec(Edges::header, {"A", "B"}), true);
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"1", "x"}));
    EXPECT_THAT(sheet.unread, IsEmpty());
    EXPECT_THAT(texts(sheet_of(read_table, "A B\n- -\n", spec(Edges::header, {"A", "B"}), true)),
                ElementsAre(Texts{"-", "-"}));
}

TEST(Table, columns_are_counted_in_code_points_and_reported_in_bytes) {
    const Sheet sheet = sheet_of(read_table,
                                 "SENSOR  VALUE    SENSE\n"
                                 "inlet   38.5 °C  good\n"
                                 "äüß     \xff\xfe C     wrong\n",
                                 spec(Edges::header, {"SENSOR", "VALUE", "SENSE"}), true);
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"inlet", "38.5 °C", "good"},
                                          Texts{"äüß", "\xff\xfe C", "wrong"}));
    EXPECT_EQ(sheet.blocks[0].cells[2].at, (state::Position{2, 19})); // one byte more than it looks
}

TEST(Table, lines_end_in_lf_or_crlf) {
    EXPECT_THAT(texts(sheet_of(read_table, "A B\r\n1 x\r\n2 y\n3 z",
                               spec(Edges::header, {"A", "B"}), true)),
                ElementsAre(Texts{"1", "x"}, Texts{"2", "y"}, Texts{"3", "z"}));
}

TEST(Table, lines_that_no_layout_reads_say_why) {
    const std::string longest(longest_line, 'x');
    const Sheet sheet =
        sheet_of(read_table,
                 "A B\n1\tx\n2 \x1b[1my\n" + std::string{"3 \0z\n", 5} + "4 " + longest + " FAB3\n",
                 spec(Edges::header, {"A", "B"}), true);
    EXPECT_THAT(sheet.blocks, IsEmpty());
    ASSERT_THAT(sheet.unread, SizeIs(4));
    EXPECT_EQ(sheet.unread[0].column, 2U);
    EXPECT_THAT(sheet.unread[0].expected, HasSubstr("instead of a tab"));
    EXPECT_EQ(sheet.unread[1].column, 3U);
    EXPECT_THAT(sheet.unread[1].expected, HasSubstr("instead of a control byte"));
    EXPECT_EQ(sheet.unread[2].column, 3U);
    EXPECT_EQ(sheet.unread[3].column, longest_line + 1);
    EXPECT_EQ(sheet.unread[3].text.size(), longest_line);
    EXPECT_THAT(sheet.unread[3].also, HasSubstr(" FAB3")) << "it names that all the same";
}

TEST(Table, lines_before_the_header_are_unread_unless_they_are_named) {
    TableSpec named = spec(Edges::header, {"A", "B"});
    const std::string answer = "Slots of this chassis  \n\nA B\n1 x\nEnd.\n";
    EXPECT_THAT(sheet_of(read_table, answer, named, true).unread, SizeIs(2));
    named.pass_over = {"Slots of this chassis", "End."};
    const Sheet sheet = sheet_of(read_table, answer, named, true);
    EXPECT_THAT(sheet.unread, IsEmpty());
    EXPECT_THAT(sheet.set_aside, ElementsAre(1U, 5U));
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"1", "x"}));
}

TEST(Table, nothing_is_an_empty_table_only_where_the_device_says_so) {
    TableSpec alarms = spec(Edges::rule, {"NO", "WHAT"});
    alarms.empty = {"No alarms."};
    EXPECT_THAT(sheet_of(read_table, "No alarms.\n", alarms, true).unread, IsEmpty());
    EXPECT_THAT(sheet_of(read_table, "NO  WHAT\n--  ----\n", alarms, true).unread, IsEmpty());
    const Sheet silent = sheet_of(read_table, "", alarms, true);
    ASSERT_THAT(silent.unread, SizeIs(1));
    EXPECT_EQ(
        silent.unread[0],
        (state::UnreadLine{1, "", 1, "the header \"NO\" \"WHAT\" before the end of the answer"}));
    EXPECT_THAT(sheet_of(read_table, "\n\n", alarms, true).unread, SizeIs(1));
    alarms.empty = {""};
    EXPECT_THAT(sheet_of(read_table, "", alarms, true).unread, IsEmpty());
}

TEST(Table, the_unterminated_last_line_of_a_cut_answer_is_unread) {
    const TableSpec two = spec(Edges::header, {"A", "B"});
    const Sheet sheet = sheet_of(read_table, "A B\n1 x\n2 dow", two, false);
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"1", "x"}));
    ASSERT_THAT(sheet.unread, SizeIs(1));
    EXPECT_EQ(sheet.unread[0],
              (state::UnreadLine{3, "2 dow", 6, "the rest of this line: the answer was cut here"}));
    EXPECT_THAT(sheet_of(read_table, "A B\n1 x\n", two, false).unread, IsEmpty());
}

TEST(Table, the_last_wrapped_row_of_a_cut_answer_is_unread) {
    const TableSpec wrapping = spec(Edges::header, {"A", "B"}, {}, true);
    const Sheet sheet = sheet_of(read_table, "A B\n1 x\n2 y\n", wrapping, false);
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"1", "x"}));
    EXPECT_THAT(sheet.unread, SizeIs(1));
    EXPECT_THAT(texts(sheet_of(read_table, "A B\n1 x\n2 y\n3", wrapping, false)),
                ElementsAre(Texts{"1", "x"}, Texts{"2", "y"}));
    EXPECT_THAT(texts(sheet_of(read_table, "A B\n1 x\n2 y\n ", wrapping, false)),
                ElementsAre(Texts{"1", "x"}));
}

TEST(Table, without_columns_or_with_too_many_nothing_is_read) {
    EXPECT_THAT(sheet_of(read_table, "A\n1\n", spec(Edges::header, {}), true).unread, SizeIs(2));
    EXPECT_THAT(
        sheet_of(read_table, "A\n1\n", spec(Edges::blanks, Texts(most_columns + 1, "A")), true)
            .unread,
        SizeIs(2));
}

} // namespace
} // namespace slotwitness::layouts
