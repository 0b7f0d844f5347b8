#include <slotwitness/terminal/token.hpp>
#include <slotwitness/terminal/token_grammar.hpp>

#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace slotwitness::terminal {
namespace {

TEST(TokenGrammar, has_no_loop_that_consumes_nothing) {
    EXPECT_EQ(tao::pegtl::analyze<token_grammar::token>(), 0U);
}

struct Case {
    std::string line;
    Form form;
    std::size_t size;
};

void expect(const std::vector<Case>& cases) {
    for (const Case& one : cases) {
        const Token token = read_token(one.line);
        EXPECT_EQ(token.form, one.form) << ::testing::PrintToString(one.line);
        EXPECT_EQ(token.bytes.size(), one.size) << ::testing::PrintToString(one.line);
    }
}

TEST(TokenGrammar, takes_a_code_point_for_a_character) {
    expect({{"ab", Form::character, 1},
            {" ", Form::character, 1},
            {"~", Form::character, 1},
            {"\xc2\xb0 C", Form::character, 2},
            {"\xe2\x9c\x93", Form::character, 3}, // its second byte is no C1 control
            {"\xf0\x9f\x94\xa7", Form::character, 4},
            {"\xe9t\xe9", Form::character, 1}, // ISO/IEC 8859-1
            {"\xed\xa0\x80", Form::character, 1},
            {"\xff", Form::character, 1}});
}

TEST(TokenGrammar, takes_runs_of_nul_for_fill) {
    expect({{std::string(1, '\0'), Form::fill, 1}, {std::string(3, '\0') + "x", Form::fill, 3}});
}

TEST(TokenGrammar, knows_controls_of_c0_c1_and_del) {
    expect({{"\b", Form::control, 1},
            {"\r", Form::control, 1},
            {"\t", Form::control, 1},
            {"\a", Form::control, 1},
            {"\x1a", Form::control, 1},
            {"\x7f", Form::control, 1},
            {"\x84", Form::control, 1},
            {"\x9c", Form::control, 1},
            {"\xc2\x84", Form::control, 2},
            {"\xc2\x9b"
             "2J",
             Form::control, 2}});
}

TEST(TokenGrammar, reads_control_sequences_with_their_parts) {
    expect({{"\x1b[mx", Form::sequence, 3},
            {"\x1b[0;1;38:5:12mx", Form::sequence, 14},
            {"\x1b[?25lx", Form::sequence, 6},
            {"\x1b[1 qx", Form::sequence, 5},
            {"\x9b"
             "1mx",
             Form::sequence, 3}});
    const Token token = read_token("\x1b[?1;2!pq");
    EXPECT_EQ(token.parameters, "?1;2");
    EXPECT_EQ(token.intermediates, "!");
    EXPECT_EQ(token.bytes, "\x1b[?1;2!p");
}

/// ECMA-48, 5th edition, 5.4: "P … P are Parameter Bytes … from 03/00 to 03/15; I … I are
/// Intermediate Bytes … from 02/00 to 02/15; F is the Final Byte … from 04/00 to 07/14".
TEST(TokenGrammar, has_the_byte_ranges_of_ecma_48) {
    for (unsigned value = 0; value < 0x100; ++value) {
        const char byte = static_cast<char>(value);
        const bool parameter = value >= 0x30 && value <= 0x3f;
        const bool intermediate = value >= 0x20 && value <= 0x2f;
        const bool final_byte = value >= 0x40 && value <= 0x7e;
        for (const std::string introducer : {"\x1b[", "\x9b"}) {
            const auto is_sequence = [&](const std::string& rest) {
                const std::string line = introducer + rest;
                const Token token = read_token(line);
                return token.form == Form::sequence && token.bytes.size() == line.size();
            };
            EXPECT_EQ(is_sequence(std::string{byte}), final_byte) << value;
            EXPECT_EQ(is_sequence(std::string{byte, 'm'}), parameter || intermediate) << value;
            EXPECT_EQ(is_sequence(std::string{byte, '1', 'm'}), parameter) << value;
            EXPECT_EQ(is_sequence(std::string{'1', ' ', byte, 'm'}), intermediate) << value;
        }
    }
}

TEST(TokenGrammar, reads_control_strings_up_to_their_end) {
    expect({{"\x1b]0;title\x1b\\x", Form::string, 11},
            {"\x1b]0;title\ax", Form::string, 10},
            {"\x1b]0;t\xc3\xbcr\ax", Form::string, 9},
            {"\x1b]0;\xe2\x9c\x9c\ax", Form::string, 8}, // its last byte is no ST
            {"\x9d"
             "0;t\x9cx",
             Form::string, 5},
            {"\x1bPq\x1b\\x", Form::string, 5},
            {"\x1b_app\x1b\\", Form::string, 7},
            {"\x1b^private\x1b\\", Form::string, 11},
            {"\x1bXany\x9cx", Form::string, 6}});
}

TEST(TokenGrammar, ends_no_string_but_osc_at_bel) {
    expect({{"\x1bPq\ax\x1b\\", Form::unended_string, 2}, {"\x1b_a\a", Form::unended_string, 2}});
}

TEST(TokenGrammar, leaves_strings_without_end_open) {
    expect({{"\x1b]0;title", Form::unended_string, 2},
            {"\x1b]0;a\x1b[m\a", Form::unended_string, 2},
            {"\x1b]0;\xe9\a", Form::unended_string, 2},
            {"\x1bP", Form::unended_string, 2},
            {"\x90q", Form::unended_string, 1}});
}

TEST(TokenGrammar, reads_escape_sequences) {
    expect({{"\x1b=x", Form::escape, 2},
            {"\x1b>", Form::escape, 2},
            {"\x1b(Bx", Form::escape, 3},
            {"\x1b%Gx", Form::escape, 3},
            {"\x1b$)Cx", Form::escape, 4},
            {"\x1b"
             "7x",
             Form::escape, 2},
            {"\x1bMx", Form::escape, 2},
            {"\x1b\\x", Form::escape, 2},
            {"\x1b(]x", Form::escape, 3},
            {"\x1b"
             "cx",
             Form::escape, 2}});
}

TEST(TokenGrammar, holds_what_is_not_whole_for_broken) {
    expect({{"\x1b", Form::broken, 1},
            {"\x1b\x1b[m", Form::broken, 1},
            {"\x1b(", Form::broken, 1},
            {"\x1b[", Form::broken, 2},
            {"\x1b[12;", Form::broken, 2},
            {"\x1b[ 1m", Form::broken, 2},
            {"\x1b[1\x01m", Form::broken, 2},
            {"\x1b[\x7f", Form::broken, 2},
            {"\x1b[1\xc2\xb0m", Form::broken, 2},
            {"\x9b", Form::broken, 1}});
}

TEST(TokenGrammar, bounds_parameters_intermediates_and_strings) {
    const auto form = [](const std::string& line) { return read_token(line).form; };
    const auto parameters = [](std::size_t size) { return "\x1b[" + std::string(size, '1') + "m"; };
    EXPECT_EQ(form(parameters(longest_parameters)), Form::sequence);
    EXPECT_EQ(form(parameters(longest_parameters + 1)), Form::broken);
    const auto blanks = [](std::size_t size) { return std::string(size, ' ') + "q"; };
    EXPECT_EQ(form("\x1b[" + blanks(most_intermediates)), Form::sequence);
    EXPECT_EQ(form("\x1b[" + blanks(most_intermediates + 1)), Form::broken);
    EXPECT_EQ(form("\x1b" + blanks(most_intermediates)), Form::escape);
    EXPECT_EQ(form("\x1b" + blanks(most_intermediates + 1)), Form::broken);
    const auto title = [](std::size_t size) { return "\x1b]" + std::string(size, 't') + "\a"; };
    EXPECT_EQ(form(title(longest_string)), Form::string);
    EXPECT_EQ(form(title(longest_string + 1)), Form::unended_string);
}

} // namespace
} // namespace slotwitness::terminal
