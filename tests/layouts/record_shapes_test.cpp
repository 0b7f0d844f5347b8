#include "sheet.hpp"

#include <slotwitness/layouts/record.hpp>

#include <gmock/gmock.h>

#include <map>

namespace slotwitness::layouts {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;
using Separator = RecordSpec::Separator;
using Values = std::map<std::string, std::string>;

Sheet read(std::string_view answer, const RecordSpec& spec, bool ended = true) {
    return sheet_of(read_record, answer, spec, ended);
}

RecordSpec labels(std::vector<std::string> labels) {
    RecordSpec spec;
    spec.labels = std::move(labels);
    return spec;
}

TEST(Leaders, part_a_label_from_its_value) {
    RecordSpec spec = labels({"Serial", "Rev. of part"});
    spec.separator = Separator::dots;
    const Sheet sheet = read("Serial ............ QF-20-00119\n"
                             "Rev. of part ...... 1.2\n",
                             spec);
    EXPECT_THAT(values(sheet),
                ElementsAre(Values{{"Serial", "QF-20-00119"}, {"Rev. of part", "1.2"}}));
    EXPECT_EQ(sheet.blocks[0].cells[0].at, (state::Position{1, 21}));
    EXPECT_THAT(unread_lines(read("Serial . QF\n", spec)), ElementsAre(1, 1));
}

TEST(Hierarchy, is_told_by_indentation) {
    RecordSpec spec = labels({"Serial", "Power > State", "Power > Feed > Volts", "Fans > State"});
    const Sheet sheet = read("Serial: QF1\n"
                             "Power\n"
                             "  State: up\n"
                             "  Feed:\n"
                             "    Volts: 48 V\n"
                             "Fans:\n"
                             "  State: down\n",
                             spec);
    EXPECT_THAT(sheet.unread, IsEmpty());
    EXPECT_THAT(values(sheet), ElementsAre(Values{{"Serial", "QF1"},
                                                  {"Power > State", "up"},
                                                  {"Power > Feed > Volts", "48 V"},
                                                  {"Fans > State", "down"}}));
}

TEST(Hierarchy, a_label_at_another_depth_is_another_label) {
    const RecordSpec spec = labels({"Serial", "Power > State"});
    EXPECT_THAT(unread_lines(read("Serial: x\nState: up\n", spec)), ElementsAre(2));
    EXPECT_THAT(unread_lines(read("Serial: x\nPower\nState: up\n", spec)), ElementsAre(3))
        << "not indented";
    EXPECT_THAT(unread_lines(read("Serial: x\nPower\n  Power\n    State: up\n", spec)),
                ElementsAre(3, 4));
    EXPECT_THAT(unread_lines(read("Power\n  State: up\n", spec)), ElementsAre(1, 2, 2))
        << "no block to be part of";
}

TEST(Hierarchy, deeper_than_its_bound_is_unread) {
    std::string path;
    std::string text = "Serial: x\n";
    for (std::size_t level = 0; level <= most_levels; ++level) {
        path += "L" + std::string{below};
        text += std::string(2 * level, ' ') + "L\n";
    }
    const RecordSpec spec = labels({"Serial", path + "State"});
    EXPECT_THAT(unread_lines(read(text, spec)), ElementsAre(2 + most_levels));
}

TEST(Lists, join_what_is_indented_below_their_label) {
    RecordSpec spec = labels({"Serves", "Drive"});
    spec.lists = {"Serves"};
    const Sheet sheet = read("Serves:\n"
                             "  - plane 1\n"
                             "  * plane: 2\n"
                             "    3\n"
                             "Drive: engaged\n",
                             spec);
    EXPECT_THAT(sheet.unread, IsEmpty());
    EXPECT_THAT(values(sheet),
                ElementsAre(Values{{"Serves", "plane 1, plane: 2, 3"}, {"Drive", "engaged"}}));
    EXPECT_EQ(sheet.blocks[0].cells[0].at, (state::Position{2, 5}));
    EXPECT_THAT(values(read("Serves: 1\n  2\n", spec)), ElementsAre(Values{{"Serves", "1, 2"}}));
}

TEST(Lists, that_may_be_short_are_not_read) {
    RecordSpec spec = labels({"Drive", "Serves"});
    spec.lists = {"Serves"};
    const Sheet cut = read("Drive: x\nServes:\n  1\n  2", spec, false);
    EXPECT_THAT(values(cut), ElementsAre(Values{{"Drive", "x"}}));
    EXPECT_FALSE(cut.blocks[0].complete);
    const Sheet torn = read("Drive: x\nServes:\n  1\n\t2\n", spec);
    EXPECT_THAT(values(torn), ElementsAre(Values{{"Drive", "x"}}));
    EXPECT_THAT(unread_lines(torn), ElementsAre(4));
}

TEST(SeveralPairs, stand_on_one_line_two_blanks_apart) {
    RecordSpec spec = labels({"Slot", "Drive", "Turning at"});
    spec.several = true;
    const Sheet sheet = read("Slot: TRAY1   Drive: engaged now\n"
                             "  Turning at: 7200 rpm\n",
                             spec);
    EXPECT_THAT(sheet.unread, IsEmpty());
    EXPECT_THAT(values(sheet),
                ElementsAre(Values{
                    {"Slot", "TRAY1"}, {"Drive", "engaged now"}, {"Turning at", "7200 rpm"}}));
    EXPECT_EQ(sheet.blocks[0].cells[1].at, (state::Position{1, 22}));
}

TEST(SeveralPairs, of_which_one_is_undeclared_or_twice_are_unread_together) {
    RecordSpec spec = labels({"Slot", "Drive"});
    spec.several = true;
    EXPECT_THAT(unread_lines(read("Slot: TRAY1  Other: x\n", spec)), ElementsAre(1, 1));
    EXPECT_THAT(unread_lines(read("Slot: TRAY1\nDrive: x  Drive: y\n", spec)), ElementsAre(2));
    EXPECT_THAT(unread_lines(read("Slot: TRAY1\nDrive: x  nothing\n", spec)), ElementsAre(2));
    // Also in the line that would begin a block.
    EXPECT_THAT(unread_lines(read("Slot: TRAY1\n\nSlot: TRAY2  Slot: TRAY3\n", spec)),
                ElementsAre(3));
}

} // namespace
} // namespace slotwitness::layouts
