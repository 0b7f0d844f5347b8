#include <slotwitness/terminal/effect.hpp>

#include <gtest/gtest.h>

#include <limits>
#include <string>
#include <vector>

namespace slotwitness::terminal {
namespace {

using Kind = Effect::Kind;

Effect effect(const std::string& line) {
    const Token token = read_token(line);
    EXPECT_EQ(token.bytes, line);
    return effect_of(token);
}

void expect_all(Kind kind, const std::vector<std::string>& lines) {
    for (const std::string& line : lines)
        EXPECT_EQ(effect(line).kind, kind) << ::testing::PrintToString(line);
}

TEST(Effects, of_colours_titles_and_keypads_are_looks) {
    expect_all(Kind::look, {"\x1b[m",       "\x1b[0m",        "\x1b[1;31m",     "\x1b[38;2;1;2;3m",
                            "\x1b[4:3m",    "\x1b[>4;1m",     "\x1b[?25l",      "\x1b[?25h",
                            "\x1b[?1h",     "\x1b[?2004h",    "\x1b[?1;25h",    "\x1b[?7h",
                            "\x1b[2 q",     "\x1b[22;0;0t",   "\x1b[23;0;0t",   "\x1b=",
                            "\x1b>",        "\x1b)0",         "\x1b*B",         "\x1b%G",
                            "\x1b F",       "\x1b]0;title\a", "\x1b]2;t\x1b\\", "\x1bPq\x1b\\",
                            "\x1b_x\x1b\\", "\x1b^x\x1b\\",   "\x1bXx\x1b\\"});
}

TEST(Effects, on_the_line_are_those_of_a_screen) {
    EXPECT_EQ(effect("\b"), (Effect{Kind::back, 1}));
    EXPECT_EQ(effect("\x1b[D"), (Effect{Kind::back, 1}));
    EXPECT_EQ(effect("\x1b[0D"), (Effect{Kind::back, 1}));
    EXPECT_EQ(effect("\x1b[12D"), (Effect{Kind::back, 12}));
    EXPECT_EQ(effect("\x1b[99999999999999999999D"),
              (Effect{Kind::back, std::numeric_limits<std::size_t>::max()}));
    expect_all(Kind::home, {"\r", "\x1b[G", "\x1b[0G", "\x1b[1G"});
    expect_all(Kind::erase_to_end, {"\x1b[K", "\x1b[0K"});
    expect_all(Kind::erase_to_begin, {"\x1b[1K"});
    expect_all(Kind::erase_line, {"\x1b[2K"});
    expect_all(Kind::tab, {"\t"});
}

TEST(Effects, of_character_sets_are_told_apart) {
    expect_all(Kind::plain_set, {"\x1b(B"});
    expect_all(Kind::other_set, {"\x1b(0", "\x1b(A", "\x1b,A"});
    // Text behind a byte that was garbled is no set: "V\x1b-2" of "VF-2".
    expect_all(Kind::elsewhere, {"\x1b-2", "\x1b- 6", "\x1b)1"});
    expect_all(Kind::shift_in, {"\x0f"});
    expect_all(Kind::shift_out, {"\x0e"});
}

TEST(Effects, that_are_not_undone_say_how_far_they_reach) {
    expect_all(Kind::in_line,
               {"\x1b[4C", "\x1b[5G", "\x1b[1;2G", "\x1b[2P", "\x1b[3X", "\x1b[@", "\x1b[5b",
                "\x1b[6n", "\x1b[c", "\a", "\x1a", "\v", "\f", "\x7f", "\x84", "\xc2\x85"});
    expect_all(Kind::mode, {"\x1b[4h", "\x1b[?1049h", "\x1b[?3l", "\x1b[?7l", "\x1b[?25;3h",
                            "\x1b[?h", "\x1b[?25;h", "\x1bN", "\x1bn", "\x1b~"});
    expect_all(Kind::elsewhere, {"\x1b[A",
                                 "\x1b[2B",
                                 "\x1b[H",
                                 "\x1b[3;4H",
                                 "\x1b[3;4f",
                                 "\x1b[J",
                                 "\x1b[2J",
                                 "\x1b[S",
                                 "\x1b[T",
                                 "\x1b[L",
                                 "\x1b[M",
                                 "\x1b[2d",
                                 "\x1b[3K",
                                 "\x1b[?K",
                                 "\x1b[0;1K",
                                 "\x1b[1;2D",
                                 "\x1b[?1m",
                                 "\x1b[8;24;80t",
                                 "\x1b[s",
                                 "\x1b[r",
                                 "\x1b[y",
                                 "\x1b[!p",
                                 "\x1b"
                                 "7",
                                 "\x1b"
                                 "8",
                                 "\x1bM",
                                 "\x1b\x44",
                                 "\x1b"
                                 "c",
                                 "\x1b#8",
                                 "\x1b\\",
                                 "\x8d",
                                 "\xc2\x8d"});
}

TEST(Effects, that_are_not_undone_are_named_so_that_one_can_read_them) {
    const auto expected = [](const std::string& line) {
        return expected_instead_of(read_token(line));
    };
    EXPECT_EQ(expected("\x1b[2J"), "text without cursor movement (ESC [ 2 J)");
    EXPECT_EQ(expected("\x9b"
                       "2J"),
              "text without cursor movement (CSI 2 J)");
    EXPECT_EQ(expected("\x1b M"), "text without cursor movement (ESC 0x20 M)");
    EXPECT_EQ(expected("\x1b[1"), "the rest of the control function ESC [");
    EXPECT_EQ(expected("\x1b]0;"), "the end (ST) of the control string ESC ] in this line");
    EXPECT_EQ(expected("\x1a"), "printable text instead of a control byte (0x1A)");
}

} // namespace
} // namespace slotwitness::terminal
