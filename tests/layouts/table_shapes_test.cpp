#include "sheet.hpp"

#include <slotwitness/layouts/table.hpp>

#include <gmock/gmock.h>

namespace slotwitness::layouts {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using Edges = TableSpec::Edges;
using Texts = std::vector<std::string>;

TableSpec shape(Edges edges, Texts columns) {
    TableSpec out;
    out.edges = edges;
    out.columns = std::move(columns);
    return out;
}

Sheet read(std::string_view answer, const TableSpec& spec, bool ended = true) {
    return sheet_of(read_table, answer, spec, ended);
}

TEST(Box, parts_cells_by_bars_under_the_junctions_of_its_border) {
    const Sheet sheet = read("+-------+------------+\n"
                             "| SLOT  | WHAT IT IS |\n"
                             "+-------+------------+\n"
                             "| FAB3  |   a | part |\n"
                             "| LINE2 |            |\n"
                             "+-------+------------+\n",
                             shape(Edges::box, {"SLOT", "WHAT IT IS"}));
    EXPECT_THAT(sheet.unread, IsEmpty());
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"FAB3", "a | part"}, Texts{"LINE2", ""}));
    EXPECT_EQ(sheet.blocks[0].cells[1].at, (state::Position{4, 13}));
}

TEST(Box, may_be_drawn_with_any_lines_and_without_sides) {
    EXPECT_THAT(texts(read("┌──────┬───────┐\n"
                           "│ SLOT │ STATE │\n"
                           "╞══════╪═══════╡\n"
                           "│ FAB3 │ 38 °C │\n"
                           "├──────┼───────┤\n"
                           "│ FAB4 │ 40 °C │\n"
                           "└──────┴───────┘\n",
                           shape(Edges::box, {"SLOT", "STATE"}))),
                ElementsAre(Texts{"FAB3", "38 °C"}, Texts{"FAB4", "40 °C"}));
    EXPECT_THAT(texts(read("SLOT | STATE\n"
                           "-----+------\n"
                           "FAB3 | up and carrying\n",
                           shape(Edges::box, {"SLOT", "STATE"}))),
                ElementsAre(Texts{"FAB3", "up and carrying"}));
}

TEST(Box, a_row_whose_bars_stand_elsewhere_is_unread) {
    const Sheet sheet = read("| SLOT | STATE |\n"
                             "+------+-------+\n"
                             "| FAB30| up    |\n"
                             "| FAB300| up   |\n"
                             "| FAB4 | up    \n"
                             "x FAB5 | up    |\n"
                             " | FAB6 | up   |\n"
                             "| FAB7 | up    | x\n"
                             "+--+-----------+\n",
                             shape(Edges::box, {"SLOT", "STATE"}));
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"FAB30", "up"}));
    EXPECT_THAT(unread_lines(sheet), ElementsAre(4, 5, 6, 7, 8, 9));
    EXPECT_EQ(sheet.unread[0].column, 8U);
    EXPECT_THAT(sheet.unread[0].expected, HasSubstr("bar before the column \"STATE\""));
    EXPECT_THAT(sheet.unread[1].expected, HasSubstr("bar after the column \"STATE\""));
}

TEST(Box, with_rows_that_wrap_is_given_up_where_a_line_of_one_is_unread) {
    TableSpec wrapping = shape(Edges::box, {"SLOT", "WHAT"});
    wrapping.wraps = true;
    EXPECT_THAT(
        texts(read(
            "|SLOT|WHAT |\n+----+-----+\n|FAB3|first|\n|    |and  |\n+----+-----+\n|FAB4|other|\n",
            wrapping)),
        ElementsAre(Texts{"FAB3", "first and"}, Texts{"FAB4", "other"}));
    const Sheet torn =
        read("|SLOT|WHAT |\n+----+-----+\n|FAB3|first|\n|    |and too long|\n", wrapping);
    EXPECT_THAT(torn.blocks, IsEmpty());
    EXPECT_THAT(unread_lines(torn), ElementsAre(3, 4));
}

TEST(HeaderOfSeveralLines, gives_each_column_the_place_of_all_its_words) {
    TableSpec planes = shape(Edges::header, {"FABRIC PLANE", "STATE", "PATHS USABLE"});
    planes.header = {{"FABRIC", "", "PATHS"}, {"PLANE", "STATE", "USABLE"}};
    planes.right_aligned = {"PATHS USABLE"};
    const Sheet sheet = read("FABRIC          PATHS\n"
                             "PLANE   STATE  USABLE\n"
                             "1       up         16\n"
                             "2       down        8\n",
                             planes);
    EXPECT_THAT(sheet.unread, IsEmpty());
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"1", "up", "16"}, Texts{"2", "down", "8"}));
    EXPECT_EQ(sheet.blocks[0].cells[2].label, "PATHS USABLE");
}

TEST(HeaderOfSeveralLines, is_unread_where_a_line_of_it_is_missing) {
    TableSpec planes = shape(Edges::rule, {"FABRIC PLANE", "STATE"});
    planes.header = {{"FABRIC", ""}, {"PLANE", "STATE"}};
    const Sheet sheet = read("FABRIC\n"
                             "FABRIC\n"
                             "PLANE   STATE\n"
                             "------  -----\n"
                             "1       up\n"
                             "FABRIC\n",
                             planes);
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"1", "up"}));
    EXPECT_THAT(unread_lines(sheet), ElementsAre(1, 6));
    EXPECT_EQ(sheet.unread[0].expected, "the next line of the header");
    EXPECT_THAT(unread_lines(read("PLANE   STATE\n1       up\n", planes)), ElementsAre(1, 2, 2));
}

TEST(HeaderOfSeveralLines, whose_columns_overlap_is_unread) {
    TableSpec planes = shape(Edges::header, {"A", "B"});
    planes.header = {{"LONGER", "B"}, {"A", "LONG"}};
    EXPECT_THAT(read("LONGER B\nA LONG\n1      2\n", planes).blocks, IsEmpty());
}

TEST(Blanks, with_a_gap_of_two_let_cells_have_blanks_inside) {
    TableSpec free = shape(Edges::blanks, {"SLOT", "WHAT IT IS", "STATE"});
    free.gap = 2;
    free.header = {{"SLOT", "WHAT IT IS", "STATE"}};
    const Sheet sheet = read("SLOT WHAT IT IS  STATE\n"
                             "FAB3  Fabric part  up and carrying\n"
                             "LINE22  Line part  down\n"
                             "CTL0  alone\n",
                             free);
    EXPECT_THAT(texts(sheet),
                ElementsAre(Texts{"FAB3", "Fabric part", "up and carrying"},
                            Texts{"LINE22", "Line part", "down"}, Texts{"CTL0", "alone", ""}));
    EXPECT_THAT(unread_lines(read("FAB3  Fabric part  up\n", free)), ElementsAre(1, 1))
        << "its header is missing";
    EXPECT_THAT(unread_lines(read("SLOT  WHAT IT IS  STATE\nFAB3\n", free)), ElementsAre(2));
}

TEST(Group, is_a_cell_of_every_row_below_its_line) {
    TableSpec shelves = shape(Edges::header, {"SLOT", "STATE"});
    shelves.group = "Shelf";
    const Sheet sheet = read("Shelf 1:\n"
                             "SLOT  STATE\n"
                             "FAB3  up\n"
                             "FAB4  up\n"
                             "  Shelf 2\n"
                             "FAB3  down\n",
                             shelves);
    EXPECT_THAT(sheet.unread, IsEmpty());
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"FAB3", "up", "1"}, Texts{"FAB4", "up", "1"},
                                          Texts{"FAB3", "down", "2"}));
    EXPECT_EQ(sheet.blocks[2].cells[2].label, "Shelf");
    EXPECT_EQ(sheet.blocks[2].cells[2].at, (state::Position{5, 9}));
}

TEST(Group, after_a_line_that_was_not_read_nobody_knows_which_it_is) {
    TableSpec shelves = shape(Edges::header, {"SLOT", "STATE"});
    shelves.group = "Shelf";
    const Sheet sheet = read("SLOT  STATE\n"
                             "FAB1  up\n"
                             "Shelf 1\n"
                             "FAB3  up\n"
                             "Shelves2\n"
                             "FAB3  down\n",
                             shelves);
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"FAB3", "up", "1"}));
    EXPECT_THAT(unread_lines(sheet), ElementsAre(2, 5, 6));
}

TEST(SeveralTables, are_told_apart_by_their_headings) {
    TableSpec planes = shape(Edges::header, {"NO", "STATE"});
    planes.heading = "Fabric planes";
    planes.other_headings = {"Modules", "Trays"};
    const Sheet sheet = read("Modules\n"
                             "NO  STATE\n"
                             "7   up\n"
                             "\n"
                             "Fabric planes\n"
                             "NO  STATE\n"
                             "1   up\n"
                             "\n"
                             "Trays\n"
                             "NO  STATE\n"
                             "9   up\n",
                             planes);
    EXPECT_THAT(sheet.unread, IsEmpty());
    EXPECT_THAT(texts(sheet), ElementsAre(Texts{"1", "up"}));
    EXPECT_THAT(sheet.set_aside, ElementsAre(1, 2, 3, 9, 10, 11));
}

TEST(SeveralTables, a_heading_that_no_one_declared_is_unread_and_so_is_an_answer_without_ours) {
    TableSpec planes = shape(Edges::header, {"NO", "STATE"});
    planes.heading = "Fabric planes";
    const Sheet other =
        read("Modules\nNO  STATE\n7   up\nFabric planes\nNO  STATE\n1   up\n", planes);
    EXPECT_THAT(texts(other), ElementsAre(Texts{"1", "up"}));
    EXPECT_THAT(unread_lines(other), ElementsAre(1, 2, 3));
    EXPECT_EQ(other.unread[0].expected, "the heading \"Fabric planes\"");
    planes.other_headings = {"Modules"};
    EXPECT_THAT(unread_lines(read("Modules\nNO  STATE\n7   up\n", planes)), ElementsAre(3));
}

} // namespace
} // namespace slotwitness::layouts
