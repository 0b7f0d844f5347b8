#include "../../daemon/program/table.hpp"
#include "../../daemon/program/terminal.hpp"

#include <gtest/gtest.h>

#include <sstream>

namespace slotwitness::program {
namespace {

// Unicode Standard Annex 11: ideographs take two columns; combining marks take none.
TEST(terminal, counts_columns_as_a_terminal_does) {
    EXPECT_EQ(places("FAB3"), 4U);
    EXPECT_EQ(places("38 °C"), 5U);
    EXPECT_EQ(places("模块"), 4U);
    EXPECT_EQ(places("e\u0301"), 1U);
    EXPECT_EQ(places("\xff"), 1U);
}

TEST(terminal, a_line_is_cut_to_its_columns) {
    EXPECT_EQ(cut("twelve bytes", 12), "twelve bytes");
    EXPECT_EQ(cut("twelve bytes", 7), "twelve…");
    EXPECT_EQ(cut("38 °C and more", 5), "38 °…");
    EXPECT_EQ(cut("模块模块", 6), "模块…");
    EXPECT_EQ(cut("any", 0), "");
}

TEST(terminal, a_line_is_broken_between_words_where_somebody_reads_it) {
    EXPECT_EQ(readable("12:00  ", "the device reports", 18), "12:00  the device\n       reports\n");
    EXPECT_EQ(readable("12:00  ", "the device reports", 0), "12:00  the device reports\n");
}

Table modules() {
    return {
        {"module", "oper", "part"},
        {{"FAB3", "enabled", "Fabric module of two planes"}, {"模1", "unknown", "Line module"}}};
}

TEST(table, stands_in_columns_where_it_fits) {
    EXPECT_EQ(fitted(modules(), 80), "module  oper     part\n"
                                     "FAB3    enabled  Fabric module of two planes\n"
                                     "模1     unknown  Line module\n");
}

TEST(table, puts_under_its_row_what_has_no_room_beside_it) {
    EXPECT_EQ(fitted(modules(), 20), "module  oper\n"
                                     "FAB3    enabled\n"
                                     "    part Fabric\n"
                                     "    module of two\n"
                                     "    planes\n"
                                     "模1     unknown\n"
                                     "    part Line module\n");
}

TEST(table, says_everything_at_any_width) {
    for (std::size_t columns = 1; columns < 60; ++columns) {
        const std::string text = fitted(modules(), columns);
        for (const char* word : {"FAB3", "enabled", "planes", "模1", "unknown"})
            EXPECT_NE(text.find(word), std::string::npos) << columns << " columns: " << word;
        std::istringstream lines(text);
        for (std::string line; std::getline(lines, line);)
            EXPECT_TRUE(places(line) <= columns || columns < 20) << columns << ": " << line;
    }
}

} // namespace
} // namespace slotwitness::program
