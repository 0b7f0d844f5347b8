#include "sheet.hpp"

#include <slotwitness/layouts/record.hpp>

#include <gmock/gmock.h>

#include <map>
#include <string>
#include <vector>

namespace slotwitness::layouts {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;
using Values = std::map<std::string, std::string>;

const RecordSpec trays{"Tray",
                       RecordSpec::Separator::colon,
                       {"Drive", "Turning at", "Cools"},
                       {"Trays of this chassis"},
                       {"No trays."}};

TEST(Record, a_heading_begins_a_block_and_names_it) {
    const Sheet sheet = sheet_of(read_record,
                                 "Trays of this chassis\n"
                                 "Tray TRAY1\n"
                                 "  Drive      : engaged\n"
                                 "  Turning at : 7200 rpm\n"
                                 "  Cools:\n"
                                 "\n"
                                 "Tray rear left\n"
                                 "  Cools: FAB1, FAB2  \n",
                                 trays, true);
    EXPECT_THAT(values(sheet), ElementsAre(Values{{"Tray", "TRAY1"},
                                                  {"Drive", "engaged"},
                                                  {"Turning at", "7200 rpm"},
                                                  {"Cools", ""}},
                                           Values{{"Tray", "rear left"}, {"Cools", "FAB1, FAB2"}}));
    EXPECT_THAT(sheet.unread, IsEmpty());
    EXPECT_THAT(sheet.set_aside, ElementsAre(1U));
    EXPECT_EQ(sheet.blocks[0].at, (state::Position{2, 1}));
    EXPECT_EQ(sheet.blocks[0].cells[0].at, (state::Position{2, 6}));
    EXPECT_EQ(sheet.blocks[0].cells[2].at, (state::Position{4, 16}));
    EXPECT_EQ(sheet.blocks[1].text, "Tray rear left\n  Cools: FAB1, FAB2  ");
    EXPECT_TRUE(sheet.blocks[1].complete);
}

TEST(Record, without_a_heading_blank_lines_part_the_blocks) {
    const RecordSpec disks{"", RecordSpec::Separator::equals, {"name", "size"}, {}, {}};
    const Sheet sheet =
        sheet_of(read_record, "name=vda\nsize=12\n\n\nname=vdb\r\nsize = a = b\r\n", disks, true);
    EXPECT_THAT(values(sheet), ElementsAre(Values{{"name", "vda"}, {"size", "12"}},
                                           Values{{"name", "vdb"}, {"size", "a = b"}}));
    EXPECT_THAT(sheet.unread, IsEmpty());
}

TEST(Record, a_declared_label_is_no_heading) {
    const RecordSpec modules{"Module", RecordSpec::Separator::colon, {"Module type"}, {}, {}};
    EXPECT_THAT(values(sheet_of(read_record, "Module FAB3\nModule type: fabric\n", modules, true)),
                ElementsAre(Values{{"Module", "FAB3"}, {"Module type", "fabric"}}));
    EXPECT_THAT(values(sheet_of(read_record, "Module\nModule type: fabric\n", modules, true)),
                ElementsAre(Values{{"Module", ""}, {"Module type", "fabric"}}));
    EXPECT_THAT(sheet_of(read_record, "Modules FAB3\n", modules, true).blocks, IsEmpty());
}

TEST(Record, a_label_that_stands_twice_is_unread) {
    const Sheet sheet =
        sheet_of(read_record, "Tray T1\nDrive: engaged\nDrive: released\n", trays, true);
    EXPECT_THAT(values(sheet), ElementsAre(Values{{"Tray", "T1"}, {"Drive", "engaged"}}));
    ASSERT_THAT(sheet.unread, SizeIs(1));
    EXPECT_EQ(sheet.unread[0], (state::UnreadLine{3, "Drive: released", 1,
                                                  "a label that this block does not have yet"}));
    EXPECT_FALSE(sheet.blocks[0].complete);
}

TEST(Record, undeclared_labels_and_lines_without_a_separator_are_unread) {
    const Sheet sheet =
        sheet_of(read_record, "Tray T1\n Colour: red\nTray T2\nturning\n", trays, true);
    ASSERT_THAT(sheet.unread, SizeIs(2));
    EXPECT_EQ(sheet.unread[0].column, 2U);
    EXPECT_EQ(sheet.unread[0].expected, "a declared label");
    EXPECT_EQ(sheet.unread[1].column, 8U);
    EXPECT_THAT(sheet.unread[1].expected, HasSubstr("\":\" after a label"));
}

TEST(Record, values_outside_a_block_are_unread) {
    const Sheet sheet =
        sheet_of(read_record, "Drive: engaged\nTray T1\nDrive: released\n", trays, true);
    EXPECT_THAT(values(sheet), ElementsAre(Values{{"Tray", "T1"}, {"Drive", "released"}}));
    ASSERT_THAT(sheet.unread, SizeIs(1));
    EXPECT_EQ(sheet.unread[0].expected, "a heading \"Tray\"");
}

TEST(Record, what_follows_an_unread_line_belongs_to_nobody) {
    // Line 3 may have been the heading of another tray.
    const Sheet sheet = sheet_of(
        read_record, "Tray T1\nDrive: engaged\nTr#y T2\nCools: FAB1\nTray T3\nCools: FAB3\n", trays,
        true);
    EXPECT_THAT(values(sheet), ElementsAre(Values{{"Tray", "T1"}, {"Drive", "engaged"}},
                                           Values{{"Tray", "T3"}, {"Cools", "FAB3"}}));
    ASSERT_THAT(sheet.unread, SizeIs(2));
    EXPECT_EQ(sheet.unread[1].line, 4U);
    EXPECT_FALSE(sheet.blocks[0].complete);
    EXPECT_TRUE(sheet.blocks[1].complete);
}

TEST(Record, nothing_is_no_block_only_where_the_device_says_so) {
    EXPECT_THAT(sheet_of(read_record, "No trays.\n", trays, true).unread, IsEmpty());
    EXPECT_THAT(sheet_of(read_record, "", trays, true).unread, SizeIs(1));
    EXPECT_THAT(sheet_of(read_record, "Trays of this chassis\n", trays, true).unread, SizeIs(1));
}

TEST(Record, a_cut_answer_leaves_its_last_line_unread_and_its_last_block_incomplete) {
    const Sheet sheet = sheet_of(read_record, "Tray T1\nDrive: engaged\nCools: FA", trays, false);
    EXPECT_THAT(values(sheet), ElementsAre(Values{{"Tray", "T1"}, {"Drive", "engaged"}}));
    ASSERT_THAT(sheet.unread, SizeIs(1));
    EXPECT_EQ(sheet.unread[0].column, 10U);
    EXPECT_FALSE(sheet.blocks[0].complete);
    EXPECT_FALSE(
        sheet_of(read_record, "Tray T1\nDrive: engaged\n", trays, false).blocks[0].complete);
}

TEST(Record, control_bytes_are_unread) {
    const Sheet sheet = sheet_of(read_record, "Tray T1\nDrive:\tengaged\n", trays, true);
    ASSERT_THAT(sheet.unread, SizeIs(1));
    EXPECT_EQ(sheet.unread[0].column, 7U);
}

} // namespace
} // namespace slotwitness::layouts
