#include "account.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace slotwitness::terminal {
namespace {

using state::Position;
using state::UnreadLine;
using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::Field;
using ::testing::IsEmpty;

const TerminalSpec nothing;

TEST(CleanLines, are_not_copied_where_nothing_is_taken_away) {
    const std::string raw = "PLANE  DRIVE\r\n1      up\n\n38 \xc2\xb0"
                            "C \xe2\x9c\x93\ttab\nlast";
    const TerminalSpec spec{{"-- more --"}, "tell planes", [](auto) { return false; }, {}};
    const Clean cleaned = clean(raw, spec, true);
    EXPECT_EQ(cleaned.text().data(), raw.data());
    EXPECT_EQ(cleaned.text().size(), raw.size());
    EXPECT_THAT(cleaned.set_aside, IsEmpty());
    EXPECT_THAT(cleaned.unread, IsEmpty());
    EXPECT_EQ(cleaned.raw({4, 3}), (Position{4, 3}));
    EXPECT_EQ(clean("", nothing, true).text(), "");
}

TEST(CleanLines, are_plain_only_if_nothing_but_printable_ascii_and_their_ends_stands_there) {
    EXPECT_TRUE(clean("PLANE  DRIVE\r\n1      up\n\n", nothing, true).plain);
    for (const char* raw : {"a\tb\n", "38 \xc2\xb0\n", "a\n\x1b[1mb\n", "a\rb\n", "a\x7f\n", "a\r"})
        EXPECT_FALSE(clean(raw, nothing, true).plain) << testing::PrintToString(raw);
}

TEST(CleanLines, end_however_the_device_ends_them) {
    const std::string nul(2, '\0');
    for (const std::string& end :
         {std::string{"\n"}, std::string{"\r\n"}, std::string{"\r\r\n"}, std::string{"\n\r"},
          "\r\n" + nul, "\r" + nul + "\n", nul + "\r\n"}) {
        const std::string raw = "one" + end + end + "two" + end;
        const Clean cleaned = clean(raw, nothing, true);
        std::string text{cleaned.text()};
        std::erase(text, '\r');
        EXPECT_EQ(text, "one\n\ntwo\n") << ::testing::PrintToString(end);
        EXPECT_THAT(cleaned.unread, IsEmpty());
        EXPECT_THAT(cleaned.set_aside, IsEmpty());
        EXPECT_EQ(fault_of(cleaned, raw), std::nullopt);
        EXPECT_EQ(raw.substr(offset_of(raw, cleaned.raw({3, 2})), 2), "wo");
    }
}

TEST(CleanLines, stay_unterminated_where_the_last_one_was) {
    EXPECT_EQ(clean("a\nb\x1b[m", nothing, true).text(), "a\nb");
    EXPECT_EQ(clean("a\nb\r", nothing, false).text(), "a\nb");
    EXPECT_EQ(clean("a\n\x1b[m", nothing, true).text(), "a\n");
    EXPECT_EQ(clean("a\n\x1b[m\n", nothing, true).text(), "a\n\n");
}

TEST(CleanLines, lose_their_looks_but_not_their_places) {
    const std::string raw = "plain\n\x1b[1mFAB3\x1b[m   \x1b]0;t\a\x1b(Bup\x0f\nplain\n";
    const Clean cleaned = clean(raw, nothing, true);
    EXPECT_EQ(cleaned.text(), "plain\nFAB3   up\nplain\n");
    EXPECT_EQ(cleaned.raw({2, 1}), (Position{2, 5}));
    EXPECT_EQ(cleaned.raw({2, 4}), (Position{2, 8}));
    EXPECT_EQ(cleaned.raw({2, 5}), (Position{2, 12}));
    EXPECT_EQ(cleaned.raw({2, 8}), (Position{2, 24}));
    EXPECT_EQ(cleaned.raw({2, 10}), (Position{2, 26})); // behind the last character
    EXPECT_EQ(cleaned.raw({3, 2}), (Position{3, 2}));
    EXPECT_EQ(cleaned.raw({2, 0}), (Position{2, 0}));
    EXPECT_EQ(cleaned.raw({0, 0}), (Position{0, 0}));
    EXPECT_THAT(cleaned.set_aside, ElementsAre(SetAside{{2, 1}, "\x1b[1m", Why::control},
                                               SetAside{{2, 9}, "\x1b[m", Why::control},
                                               SetAside{{2, 15}, "\x1b]0;t\a\x1b(B", Why::control},
                                               SetAside{{2, 26}, "\x0f", Why::control}));
}

struct Refused {
    std::string line;
    std::size_t column;
    std::string expected;
};

TEST(CleanLines, are_unread_where_a_screen_could_not_be_sure) {
    const std::string nul(1, '\0');
    const std::vector<Refused> cases{
        {"ab\x1b[4Ccd", 3, "text without cursor movement (ESC [ 4 C)"},
        {"ab\x1b[2Jcd", 3, "text without cursor movement (ESC [ 2 J)"},
        {"ab\x9b"
         "Acd",
         3, "text without cursor movement (CSI A)"},
        {"\x1b[1mab\x1b[", 7, "the rest of the control function ESC ["},
        {"ab\x1b", 3, "the rest of the control function ESC"},
        {"ab\x1b]0;x", 3, "the end (ST) of the control string ESC ] in this line"},
        {"ab\x1a"
         "cd",
         3, "printable text instead of a control byte (0x1A)"},
        {"ab\x9c", 3, "printable text instead of a control byte (0x9C)"},
        {"ab\x07", 3, "printable text instead of a control byte (0x07)"},
        {"ab" + nul + "cd", 3, "text without NUL, which may stand for what was lost"},
        {"\x1b(0lqk", 4, "text in ASCII or UTF-8, not in another character set"},
        {"\x0e"
         "ab",
         2, "text in ASCII or UTF-8, not in another character set"},
        {"\r\rab\a", 5, "printable text instead of a control byte (0x07)"}};
    for (const Refused& one : cases) {
        const Clean cleaned = clean(one.line, nothing, true);
        EXPECT_THAT(cleaned.unread, ElementsAre(AllOf(Field(&UnreadLine::line, 1U),
                                                      Field(&UnreadLine::text, one.line),
                                                      Field(&UnreadLine::column, one.column),
                                                      Field(&UnreadLine::expected, one.expected))))
            << ::testing::PrintToString(one.line);
        EXPECT_EQ(cleaned.text().size(), one.line.size());
        EXPECT_EQ(cleaned.text()[one.column - 1], '\x1a'); // no layout reads it
        EXPECT_EQ(cleaned.raw({1, 2}), (Position{1, 2}));
        EXPECT_THAT(cleaned.set_aside, IsEmpty());
    }
}

std::vector<std::size_t> unread_lines(const Clean& cleaned) {
    std::vector<std::size_t> numbers;
    for (const UnreadLine& line : cleaned.unread)
        numbers.push_back(line.line);
    return numbers;
}

// A colour or bold print may stand within the name of what such a line tells.
TEST(CleanLines, say_how_a_screen_may_show_what_is_unread) {
    const std::string nul(1, '\0');
    for (const std::string& line :
         {"\x1b[31mFAB3\x1b[m d" + nul + "ark", std::string{"F\bFA\bAB\bB3\b3 dark\x1a"},
          std::string{"\x1b[4mFA\x1b[mB3 dark\x1b[5G"}, std::string{"FAB7\b3 dark\a"}}) {
        const Clean cleaned = clean(line + "\n", nothing, true);
        ASSERT_EQ(cleaned.unread.size(), 1U);
        EXPECT_EQ(cleaned.unread[0].text, line);
        EXPECT_EQ(cleaned.unread[0].also, "FAB3 dark");
    }
    EXPECT_EQ(clean("a\nFAB3 up\n\x1b[2A\n", nothing, true).unread.at(1).also, "")
        << "it is shown as it was sent";
    const std::string longer(longest_line, '-');
    EXPECT_TRUE(
        clean(longer + " F\x1b[mAB3\n", nothing, true).unread.at(0).also.ends_with(" FAB3"));
}

TEST(CleanLines, keep_their_neighbours_when_they_alone_are_in_doubt) {
    const Clean cleaned = clean("a\n\x1b[mb\nc\x1a\nd\n", nothing, true);
    EXPECT_EQ(cleaned.text(), "a\nb\nc\x1a\nd\n");
    EXPECT_THAT(unread_lines(cleaned), ElementsAre(3U));
}

TEST(CleanLines, are_in_doubt_before_a_move_that_reaches_them) {
    const Clean cleaned = clean("FAB3 up\nFAB4 up\n\x1b[2A\x1b[5Cdown\nFAB5 up\n", nothing, true);
    EXPECT_THAT(unread_lines(cleaned), ElementsAre(1U, 2U, 3U));
    EXPECT_EQ(cleaned.text(), "\x1a"
                              "AB3 up\n\x1a"
                              "AB4 up\n\x1a[2A\x1a[5Cdown\nFAB5 up\n");
    EXPECT_EQ(cleaned.unread[0].text, "FAB3 up");
    EXPECT_EQ(cleaned.unread[0].expected,
              "no cursor movement in line 3, which may have changed this one");
}

TEST(CleanLines, are_in_doubt_behind_a_string_without_end) {
    const Clean cleaned = clean("a\n\x1b]0;t\nFAB3 up\n\nd\a\nFAB4 up\n", nothing, true);
    EXPECT_THAT(unread_lines(cleaned), ElementsAre(2U, 3U, 4U, 5U, 6U));
    EXPECT_EQ(cleaned.text(), "a\n\x1a]0;t\n\x1a"
                              "AB3 up\n\x1a\nd\x1a\n\x1a"
                              "AB4 up\n");
    EXPECT_EQ(
        cleaned.unread[1],
        (UnreadLine{3, "FAB3 up", 1, "line 2 read to its end, for it may have hidden this one"}));
}

TEST(CleanLines, are_in_doubt_behind_another_mode) {
    EXPECT_THAT(unread_lines(clean("a\n\x1b[4h\nb\n", nothing, true)), ElementsAre(2U, 3U));
}

TEST(CleanLines, are_in_doubt_in_another_character_set_until_it_ends) {
    const Clean cleaned = clean("a\n\x1b(0\nlqk\n\nx\x1b(B\nb\n\x0e\nc\n\x0f"
                                "d\n",
                                nothing, true);
    EXPECT_THAT(unread_lines(cleaned), ElementsAre(3U, 5U, 8U));
}

TEST(CleanLines, take_nul_for_fill_beside_a_return_only) {
    const std::string raw = std::string{"ab\r\0\0ab\0\rab\n", 12};
    const Clean cleaned = clean(raw, nothing, true);
    EXPECT_THAT(cleaned.unread, IsEmpty());
    EXPECT_EQ(cleaned.text(), "ab\n");
    EXPECT_EQ(fault_of(cleaned, raw), std::nullopt);
}

TEST(CleanLines, longer_than_the_bound_are_not_executed) {
    const std::string longest(longest_line - 3, 'x');
    EXPECT_THAT(clean(longest + "\x1b[m\nb\n", nothing, true).unread, IsEmpty());
    const std::string raw = longest + "x\x1b[m\nb\n";
    const Clean cleaned = clean(raw, nothing, true);
    EXPECT_THAT(unread_lines(cleaned), ElementsAre(1U, 2U)); // a mode may hide in it
    EXPECT_EQ(cleaned.unread[0].column, longest_line + 1);
    EXPECT_EQ(cleaned.unread[0].expected, "the end of the line after at most 65536 bytes");
    EXPECT_LT(cleaned.unread[0].text.size(), longest_line);
    EXPECT_THAT(clean(std::string(longest_line + 1, 'x') + "\n", nothing, true).unread, IsEmpty());
}

TEST(CleanLines, keep_tabs_without_a_width) {
    EXPECT_EQ(clean("\x1b[ma\tb\n", nothing, true).text(), "a\tb\n");
    EXPECT_EQ(
        clean("a\tb\b\bc\n", nothing, true).unread.at(0).expected,
        "blanks instead of a tab, whose width is not known; if the device means columns of 8, "
        "write tab-width = 8 in [terminal]");
}

TEST(CleanLines, have_blanks_for_tabs_of_a_known_width) {
    TerminalSpec spec;
    spec.tab_width = 8;
    const std::string raw = "\xc2\xb0"
                            "C\tab\t\tc\n12345678\tx\n";
    const Clean cleaned = clean(raw, spec, true);
    EXPECT_EQ(cleaned.text(), "\xc2\xb0"
                              "C      ab              c\n12345678        x\n");
    EXPECT_EQ(cleaned.raw({1, 4}), (Position{1, 4}));
    EXPECT_EQ(cleaned.raw({1, 9}), (Position{1, 4}));
    EXPECT_EQ(cleaned.raw({1, 10}), (Position{1, 5}));
    EXPECT_EQ(cleaned.raw({1, 12}), (Position{1, 7}));
    EXPECT_EQ(cleaned.raw({1, 20}), (Position{1, 8}));
    EXPECT_EQ(cleaned.raw({2, 17}), (Position{2, 10}));
    EXPECT_EQ(fault_of(cleaned, raw), std::nullopt);
}

TEST(CleanLines, do_not_guess_what_a_tab_leaves_under_it) {
    TerminalSpec spec;
    spec.tab_width = 8;
    EXPECT_EQ(clean("abcdefgh1\r\tX\n", spec, true).unread.at(0).expected,
              "blanks instead of a tab, which leaves what stands under it");
    EXPECT_EQ(clean("abc\r\x1b[K\tX\n", spec, true).text(), "        X\n");
}

TEST(CleanLines, bound_the_width_of_tabs_and_of_what_they_make) {
    TerminalSpec spec;
    for (const std::size_t refused : {std::size_t{0}, widest_tab + 1}) {
        spec.tab_width = refused;
        EXPECT_EQ(clean("a\tb\n", spec, true).text(), "a\tb\n");
    }
    spec.tab_width = widest_tab;
    EXPECT_EQ(clean(std::string(longest_line / widest_tab, '\t'), spec, true).text().size(),
              longest_line);
    EXPECT_EQ(
        clean(std::string(longest_line / widest_tab + 1, '\t'), spec, true).unread.at(0).expected,
        "the end of the line after at most 65536 columns");
}

TEST(CleanLines, tell_what_a_layout_could_not_read_in_places_of_the_raw_answer) {
    const TerminalSpec spec{{"-- more --"}, {}, {}, {}};
    const Clean cleaned = clean("-- more --\n\x1b[1mone\x1b[m\ntwo\x1a\nthree\n", spec, true);
    ASSERT_EQ(cleaned.text(), "one\ntwo\x1a\nthree\n");
    const std::vector<UnreadLine> all = cleaned.unread_with(
        {{1, "one", 2, "a blank"}, {2, "two\x1a", 4, "text"}, {3, "three", 1, "a row"}});
    EXPECT_THAT(all, ElementsAre(UnreadLine{2, "one", 6, "a blank"}, cleaned.unread.at(0),
                                 UnreadLine{4, "three", 1, "a row"}));
}

TEST(CleanLines, tell_of_text_that_was_taken_back) {
    const std::string remedy = "text that is not taken back, or a prompt that [terminal] names";
    const Clean erased = clean("FAB3 up\x1b[2K\rFAB3 gone\n", nothing, true);
    ASSERT_EQ(erased.text(), "FAB3 gone\n");
    EXPECT_THAT(erased.unread_with({}),
                ElementsAre(UnreadLine{1, "FAB3 up\x1b[2K\r", 1, remedy, "FAB3 up"}));
    const Clean overwritten = clean("a\nFAB3 up\rFAB3 gone\n", nothing, true);
    ASSERT_EQ(overwritten.text(), "a\nFAB3 gone\n");
    EXPECT_THAT(overwritten.unread_with({}),
                ElementsAre(UnreadLine{2, "FAB3 up\r", 1, remedy, "FAB3 up"}));
    const Clean blanks = clean("   \x1b[2K\rFAB3 gone\n", nothing, true);
    EXPECT_THAT(blanks.unread_with({}), IsEmpty());
}

TEST(EveryReason, has_a_word_of_its_own) {
    std::vector<std::string_view> words;
    for (const Why why : {Why::control, Why::fill, Why::overprint, Why::erased, Why::overwritten,
                          Why::pager, Why::log_line, Why::echo})
        words.push_back(to_word(why));
    EXPECT_THAT(words, ElementsAre("control function", "fill", "overprint", "erased", "overwritten",
                                   "pager", "log line", "echo"));
}

} // namespace
} // namespace slotwitness::terminal
