#include "account.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <string>
#include <vector>

namespace slotwitness::terminal {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

const std::string prompt = " -- more -- ";
const TerminalSpec paged{{"(end)", prompt}, {}, {}, {}};

std::string times(std::string_view text, std::size_t count) {
    std::string all;
    for (std::size_t i = 0; i < count; ++i)
        all += text;
    return all;
}

/// All ways to take a prompt away before the row that follows on its line.
const std::vector<std::string> erasures{"\r" + times(" ", prompt.size()) + "\r",
                                        times("\b", prompt.size()) + times(" ", prompt.size()) +
                                            times("\b", prompt.size()),
                                        times("\b \b", prompt.size()),
                                        "\x1b[12D\x1b[K",
                                        "\x1b[K",
                                        "\r\x1b[K",
                                        "\x1b[2K\r",
                                        "\x1b[2K",
                                        "\x1b[1K\r",
                                        "\x1b[2K\x1b[1G",
                                        times("\b", prompt.size()),
                                        "\r"};

TEST(Prompts, are_taken_away_with_what_erases_them) {
    for (const std::string& erasure : erasures) {
        const std::string raw = "a\n" + prompt + erasure + "row of text  x\nb\n";
        const Clean cleaned = clean(raw, paged, true);
        EXPECT_EQ(cleaned.text(), "a\nrow of text  x\nb\n") << ::testing::PrintToString(erasure);
        EXPECT_THAT(cleaned.unread, IsEmpty());
        EXPECT_EQ(cleaned.raw({2, 1}), (state::Position{2, prompt.size() + erasure.size() + 1}));
        EXPECT_EQ(cleaned.raw({3, 1}), (state::Position{3, 1}));
        EXPECT_EQ(fault_of(cleaned, raw), std::nullopt);
        EXPECT_THAT(
            cleaned.set_aside,
            ElementsAre(SetAside{{2, 1},
                                 std::string_view{raw}.substr(2, prompt.size() + erasure.size()),
                                 Why::pager}));
    }
}

TEST(Prompts, may_stand_out_in_colour_and_twice) {
    const std::string raw = "\x1b[7m" + prompt + "\x1b[27m\r\x1b[K" + prompt + "\r\x1b[Krow\n";
    EXPECT_EQ(clean(raw, paged, true).text(), "row\n");
}

TEST(Prompts, leave_a_short_row_as_it_is) {
    EXPECT_EQ(clean(prompt + "\rx\n", paged, true).text(), "x\n");
    EXPECT_EQ(clean(prompt + "\r   \rx\n", paged, true).text(), "x\n");
}

TEST(Prompts, alone_on_their_line_leave_no_line) {
    for (const std::string& line :
         {prompt + "\n", prompt + "\r\n", prompt + "\r\r\n", "\x1b[7m" + prompt + "\x1b[m\n"}) {
        const Clean cleaned = clean("a\n" + line + "b\n", paged, true);
        EXPECT_EQ(cleaned.text(), "a\nb\n") << ::testing::PrintToString(line);
        EXPECT_EQ(cleaned.raw({2, 1}), (state::Position{3, 1}));
        ASSERT_THAT(cleaned.set_aside, ::testing::SizeIs(1));
        EXPECT_EQ(cleaned.set_aside[0].why, Why::pager);
    }
}

TEST(Prompts, that_were_erased_leave_an_empty_row) {
    const std::string raw = prompt + "\r\x1b[K\nb\n";
    EXPECT_EQ(clean(raw, paged, true).text(), "\nb\n");
    EXPECT_EQ(clean("a\n" + prompt + "\r\x1b[K", paged, true).text(), "a\n");
}

TEST(Prompts, are_text_amid_a_row_or_before_one) {
    for (const std::string& line :
         {"x" + prompt, prompt + "x", prompt.substr(1), "x" + prompt + "\x1b[K"})
        EXPECT_EQ(clean(line + "\n", paged, true).text(), line.substr(0, line.find('\x1b')) + "\n");
}

TEST(Prompts, that_are_not_left_behind_are_in_doubt) {
    for (const std::string& line : {prompt + "\b\bx", prompt + "\b\b   x", prompt + "\b  "}) {
        const Clean cleaned = clean(line + "\n", paged, true);
        ASSERT_THAT(cleaned.unread, ::testing::SizeIs(1));
        EXPECT_EQ(cleaned.unread[0].text, line);
        EXPECT_EQ(cleaned.unread[0].expected,
                  "the pager's prompt erased up to the beginning of the line");
    }
}

TEST(Prompts, amid_text_that_is_erased_are_no_prompts) {
    const Clean cleaned = clean("x" + prompt + "\rrow\n", paged, true);
    EXPECT_THAT(cleaned.unread, ::testing::SizeIs(1));
}

TEST(Prompts, stay_where_the_answer_was_cut_behind_them) {
    EXPECT_EQ(clean("a\n" + prompt, paged, false).text(), "a\n" + prompt);
    EXPECT_EQ(clean("a\n" + prompt, paged, true).text(), "a\n");
}

TEST(Prompts, without_a_text_are_none) {
    EXPECT_EQ(clean("a\n\nb\x1b[m\n", {{""}, {}, {}, {}}, true).text(), "a\n\nb\n");
}

TEST(Echo, is_set_aside_in_the_first_line_only) {
    const TerminalSpec spec{{}, "tell planes", {}, {}};
    const std::string raw = "tell planes\r\nPLANE\ntell planes\n";
    const Clean cleaned = clean(raw, spec, true);
    EXPECT_EQ(cleaned.text(), "PLANE\ntell planes\n");
    EXPECT_THAT(cleaned.set_aside, ElementsAre(SetAside{{1, 1}, "tell planes", Why::echo}));
    EXPECT_EQ(cleaned.raw({1, 3}), (state::Position{2, 3}));
    for (const std::string other :
         {"tell planes now\n", "tell plane\n", " tell planes\n", "\ntell planes\n"})
        EXPECT_EQ(clean(other, spec, true).text(), other);
    EXPECT_EQ(clean("tell planes", spec, false).text(), "tell planes");
    EXPECT_EQ(clean("tell planes", spec, true).text(), "");
}

TEST(LogLines, are_set_aside_whole_and_kept_as_evidence) {
    const TerminalSpec spec{
        {}, {}, [](std::string_view line) { return line.starts_with("%"); }, {}};
    const std::string raw = "a\n%tray 3: turning\r\nb\n\x1b[31m%hot\x1b[m\nc%d\n%cut";
    const Clean cleaned = clean(raw, spec, false);
    EXPECT_EQ(cleaned.text(), "a\nb\nc%d\n%cut");
    EXPECT_THAT(cleaned.set_aside,
                ElementsAre(SetAside{{2, 1}, "%tray 3: turning", Why::log_line},
                            SetAside{{4, 1}, "\x1b[31m%hot\x1b[m", Why::log_line}));
    EXPECT_EQ(cleaned.raw({3, 1}), (state::Position{5, 1}));
    EXPECT_EQ(clean(raw, spec, true).text(), "a\nb\nc%d\n");
}

std::string file(const std::string& name) {
    std::ifstream in{SLOTWITNESS_FIXTURES "/quillon/" + name, std::ios::binary};
    EXPECT_TRUE(in.is_open()) << name;
    return {std::istreambuf_iterator<char>{in}, {}};
}

TEST(PagedAnswers, of_the_chassis_are_what_it_says_unpaged) {
    for (const std::string query : {"modules", "planes", "trays"}) {
        const std::string raw = file("hostile/" + query + "-paged.txt");
        const Clean cleaned = clean(raw, paged, true);
        EXPECT_EQ(cleaned.text(), file("healthy/" + query + ".txt"));
        EXPECT_FALSE(cleaned.set_aside.empty());
        EXPECT_THAT(cleaned.unread, IsEmpty());
        EXPECT_EQ(fault_of(cleaned, raw), std::nullopt);
    }
}

TEST(GarbledAnswers, of_the_chassis_stay_unread_where_they_are_garbled) {
    for (const std::string query : {"modules", "planes", "trays"}) {
        const std::string raw = file("hostile/" + query + "-garbled.txt");
        const Clean cleaned = clean(raw, paged, true);
        EXPECT_EQ(cleaned.text(), raw);
        std::size_t garbled = 0;
        for (const std::string_view line : lines_of(raw))
            garbled += line.find('\x1a') != std::string_view::npos ? 1 : 0;
        EXPECT_GT(garbled, 0U);
        EXPECT_EQ(cleaned.unread.size(), garbled);
    }
}

} // namespace
} // namespace slotwitness::terminal
