#include "drawn.hpp"
#include "sheet.hpp"

#include <slotwitness/layouts/record.hpp>

#include <gtest/gtest.h>

#include <algorithm>
#include <regex>
#include <set>
#include <sstream>

namespace slotwitness::layouts {
namespace {

using Edges = TableSpec::Edges;

const std::regex blank_or_none{" *|None\\. *"};
const std::regex header_too{" *|None\\. *| *A +BC D *|[- ]+"};

bool contains(const Sheet& sheet, const KeptBlock& block) {
    return std::find(sheet.blocks.begin(), sheet.blocks.end(), block) != sheet.blocks.end();
}

std::string_view line_of(std::string_view text, std::size_t number) {
    for (; number > 1; --number)
        text.remove_prefix(text.find('\n') + 1);
    return text.substr(0, text.find('\n'));
}

/// Every line is in one block, or unread, or blank, or `may_pass` as the specification says.
void check_that_no_line_is_dropped(const Sheet& sheet, std::string_view text,
                                   const std::regex& may_pass) {
    std::multiset<std::string> read;
    for (const KeptBlock& block : sheet.blocks) {
        std::istringstream lines{block.text};
        for (std::string line; std::getline(lines, line);)
            read.insert(line);
    }
    std::set<std::size_t> accounted(sheet.set_aside.begin(), sheet.set_aside.end());
    for (const state::UnreadLine& line : sheet.unread)
        accounted.insert(line.line);
    std::istringstream lines{std::string{text}};
    std::size_t number = 0;
    for (std::string line; std::getline(lines, line);) {
        if (line.ends_with('\r'))
            line.pop_back();
        if (accounted.contains(++number))
            continue;
        const auto found = read.find(line);
        if (found != read.end())
            read.erase(found);
        else
            RC_ASSERT(std::regex_match(line, may_pass));
    }
    RC_ASSERT(read.empty());
}

TEST(Tables, read_back_the_cells_that_were_drawn) {
    EXPECT_TRUE(rc::check([] {
        const DrawnTable table = *any_table();
        const Sheet sheet = sheet_of(read_table, table.text, table.spec, true);
        RC_ASSERT(sheet.unread.empty());
        RC_ASSERT(sheet.blocks.size() == table.rows.size());
        for (std::size_t row = 0; row < table.rows.size(); ++row) {
            for (std::size_t i = 0; i < table.rows[row].size(); ++i) {
                const KeptCell& cell = sheet.blocks[row].cells[i];
                RC_ASSERT(cell.text == table.rows[row][i]);
                const std::string first = cell.text.substr(0, cell.text.find(' '));
                RC_ASSERT(
                    line_of(table.text, cell.at.line).substr(cell.at.column - 1, first.size()) ==
                    first);
            }
        }
    }));
}

TEST(Tables, cut_at_any_byte_hold_no_row_that_the_whole_lacks) {
    EXPECT_TRUE(rc::check([] {
        const DrawnTable table = *any_table();
        const Sheet whole = sheet_of(read_table, table.text, table.spec, true);
        for (std::size_t size = 0; size < table.text.size(); ++size) {
            const Sheet cut = sheet_of(read_table, std::string_view{table.text}.substr(0, size),
                                       table.spec, false);
            for (const KeptBlock& block : cut.blocks)
                RC_ASSERT(contains(whole, block));
        }
    }));
}

/// Text that often meets the rules of a layout and often just misses them.
rc::Gen<std::string> near_misses(std::vector<std::string> pieces) {
    return rc::gen::map(
        rc::gen::container<std::vector<std::string>>(rc::gen::elementOf(std::move(pieces))),
        [](const std::vector<std::string>& drawn) {
            std::string text;
            for (const std::string& piece : drawn)
                text += piece;
            return text;
        });
}

TEST(Tables, read_the_same_where_the_answer_is_known_to_be_plain) {
    EXPECT_TRUE(rc::check([] {
        const DrawnTable table = *any_table();
        const bool is_plain = std::all_of(table.text.begin(), table.text.end(), [](char byte) {
            return (byte >= ' ' && byte <= '~') || byte == '\n' || byte == '\r';
        });
        RC_PRE(is_plain);
        RC_ASSERT(sheet_of(read_table, table.text, table.spec, true, Octets::plain) ==
                  sheet_of(read_table, table.text, table.spec, true));
    }));
}

TEST(Tables, drop_no_line_of_any_text) {
    EXPECT_TRUE(rc::check([] {
        const std::string text = *near_misses({"A",
                                               "BC D",
                                               "A   BC D\n",
                                               "--- ----\n",
                                               "-",
                                               " ",
                                               "  ",
                                               "\n",
                                               "\r\n",
                                               "x",
                                               "yy",
                                               "1   x\n",
                                               "    more\n",
                                               "°",
                                               "\xff",
                                               "\t",
                                               std::string(1, '\0'),
                                               "\x1b[m",
                                               "None.\n",
                                               "Pass me\n",
                                               "A BC D"});
        for (const Edges edges : {Edges::header, Edges::rule, Edges::blanks}) {
            for (const bool wraps : {false, true}) {
                if (wraps && edges == Edges::blanks)
                    continue;
                for (const bool ended : {false, true}) {
                    const TableSpec spec{edges, {"A", "BC D"}, {}, wraps, {"Pass me"}, {"None."}};
                    check_that_no_line_is_dropped(sheet_of(read_table, text, spec, ended), text,
                                                  edges == Edges::blanks ? blank_or_none
                                                                         : header_too);
                }
            }
        }
    }));
}

TEST(Records, drop_no_line_of_any_text) {
    EXPECT_TRUE(rc::check([] {
        const std::string text = *near_misses(
            {"Tray", "Tray T1\n", "Drive", "Drive: x\n", "Cools: a\n", ":", " ", "\n", "\r\n", "x",
             "\xff", "\t", std::string(1, '\0'), "None.\n", "Pass me\n", "Other: 1\n", "Drive:"});
        for (const char* heading : {"Tray", ""}) {
            for (const bool ended : {false, true}) {
                const RecordSpec spec{heading,
                                      RecordSpec::Separator::colon,
                                      {"Drive", "Cools"},
                                      {"Pass me"},
                                      {"None."}};
                check_that_no_line_is_dropped(sheet_of(read_record, text, spec, ended), text,
                                              blank_or_none);
            }
        }
    }));
}

TEST(Records, cut_at_any_byte_hold_no_value_that_the_whole_lacks) {
    EXPECT_TRUE(rc::check([] {
        const std::string text = *near_misses({"Tray T1\n", "Tray T23\n", "Drive: engaged\n",
                                               "Cools: a, b\n", "Other: 1\n", "\n", "torn "});
        for (const char* heading : {"Tray", ""}) {
            const RecordSpec spec{
                heading, RecordSpec::Separator::colon, {"Drive", "Cools"}, {}, {}};
            const Sheet whole = sheet_of(read_record, text, spec, true);
            for (std::size_t size = 0; size < text.size(); ++size) {
                const Sheet cut =
                    sheet_of(read_record, std::string_view{text}.substr(0, size), spec, false);
                RC_ASSERT(cut.blocks.size() <= whole.blocks.size());
                for (std::size_t i = 0; i < cut.blocks.size(); ++i) {
                    const auto& all = whole.blocks[i].cells;
                    RC_ASSERT(cut.blocks[i].at == whole.blocks[i].at);
                    for (const KeptCell& cell : cut.blocks[i].cells)
                        RC_ASSERT(std::find(all.begin(), all.end(), cell) != all.end());
                }
            }
        }
    }));
}

} // namespace
} // namespace slotwitness::layouts
