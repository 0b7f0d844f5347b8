#include "account.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace slotwitness::terminal {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

struct Overprinted {
    std::string line;
    std::string text;
};

void expect_lines(const std::vector<Overprinted>& cases) {
    for (const Overprinted& one : cases) {
        const std::string raw = one.line + "\n";
        const Clean cleaned = clean(raw, {}, true);
        EXPECT_THAT(cleaned.unread, IsEmpty()) << ::testing::PrintToString(one.line);
        EXPECT_EQ(cleaned.text(), one.text + "\n") << ::testing::PrintToString(one.line);
        EXPECT_EQ(fault_of(cleaned, raw), std::nullopt) << ::testing::PrintToString(one.line);
    }
}

TEST(Overprinting, of_bold_and_underlined_text_leaves_the_text) {
    expect_lines({{"N\bNA\bA", "NA"},
                  {"N\bN\bN\bN", "N"},
                  {"_\bN_\bA", "NA"},
                  {"_\bN\bN", "N"},
                  {"__\b\bNA", "NA"},
                  {"____\rNAME", "NAME"},
                  {"NAME\rNAME", "NAME"},
                  {"a_b\b\b\ba_b", "a_b"},
                  {"\xc2\xb0\b\xc2\xb0"
                   "C",
                   "\xc2\xb0"
                   "C"},
                  {"+\bo row", "o row"}});
}

TEST(Overprinting, keeps_the_place_of_what_stands_at_last) {
    const Clean cleaned = clean("N\bNA\bA\n", {}, true);
    EXPECT_EQ(cleaned.raw({1, 1}), (state::Position{1, 3}));
    EXPECT_EQ(cleaned.raw({1, 2}), (state::Position{1, 6}));
    EXPECT_THAT(cleaned.set_aside, ElementsAre(SetAside{{1, 1}, "N\b", Why::overprint},
                                               SetAside{{1, 4}, "A\b", Why::overprint}));
}

TEST(Erasing, by_blanks_or_erase_in_line_leaves_what_was_not_erased) {
    expect_lines({{"abX\b \bc", "abc"},
                  {"abXY\b\b  \b\bc", "abc"},
                  {"abX\b\x1b[Kc", "abc"},
                  {"abXY\x1b[2D\x1b[Kc", "abc"},
                  {"abX\b ", "ab"},
                  {"ab\b\b\b\b\bcd", "cd"}, // no further than to the first place
                  {"50%\r\x1b[Kdone", "done"},
                  {"50%\r   \rdone", "done"},
                  {"50%\x1b[2K\rdone", "done"},
                  {"50%\x1b[1G\x1b[0Kdone", "done"},
                  {"50%\x1b[2K", ""},
                  {"50%\x1b[2Kdone", "   done"},
                  {"50%\x1b[1K\rdone", "done"},
                  {"ab  \rcd", "cd  "},
                  {"   \rcd", "cd"}});
}

TEST(Erasing, is_evidence) {
    const Clean cleaned = clean("50%\r   \rok\n", {}, true);
    EXPECT_THAT(cleaned.set_aside, ElementsAre(SetAside{{1, 1}, "50%\r   \r", Why::erased}));
}

TEST(Overwriting, of_a_whole_line_leaves_the_later_text) {
    expect_lines({{"10 %\r20 %", "20 %"},
                  {"10 %\r100 %", "100 %"},
                  {"FAB3 down\rFAB3 up  ", "FAB3 up"},
                  {"abc\rab\rabc", "abc"},
                  {"|\b/\b-\b\\", "\\"}});
    const Clean cleaned = clean("10 %\r20 %\n", {}, true);
    EXPECT_EQ(cleaned.set_aside.at(0), (SetAside{{1, 1}, "10 %\r", Why::overwritten}));
}

struct InDoubt {
    std::string line;
    std::size_t column;
    std::string expected;
};

TEST(Overwriting, that_leaves_older_text_is_in_doubt) {
    const std::string remains = "text that is erased, or written over as a whole";
    const std::string narrow = "characters of one column each on a line that is written over";
    const std::string underline = "\"_\" before the character that it underlines";
    const std::vector<InDoubt> cases{{"FAB33\rFAB3", 5, remains}, // meant as FAB3, shown as FAB33
                                     {"100 %\r10 ", 5, remains},
                                     {"abc\b\bX", 3, remains},
                                     {"abc\b\bb", 3, remains},
                                     {"abcdef\r   ", 4, remains},
                                     {"abcd\b\b\x1b[1K", 4, remains},
                                     {"a\b_", 3, underline},
                                     {"NAME\r____", 6, underline},
                                     {"\xe4\xb8\xad"
                                      "a\b\bb",
                                      1, narrow},
                                     {"ae\xcc\x81\b\bx", 3, narrow},
                                     {"\xe4\xb8\xad\xe4\xb8\xad"
                                      "ab\r    \rc",
                                      1, narrow}};
    for (const InDoubt& one : cases) {
        const Clean cleaned = clean(one.line + "\n", {}, true);
        ASSERT_THAT(cleaned.unread, ::testing::SizeIs(1)) << ::testing::PrintToString(one.line);
        EXPECT_EQ(cleaned.unread[0].text, one.line);
        EXPECT_EQ(cleaned.unread[0].column, one.column) << ::testing::PrintToString(one.line);
        EXPECT_EQ(cleaned.unread[0].expected, one.expected);
    }
}

TEST(Overwriting, is_not_in_doubt_where_the_cursor_only_returns) {
    expect_lines(
        {{"abc\r\r", "abc"}, {"abc\b\b", "abc"}, {"\xe4\xb8\xad\r\x1b[m", "\xe4\xb8\xad"}});
}

} // namespace
} // namespace slotwitness::terminal
