#include <slotwitness/chassis/login_shell.hpp>

#include <gmock/gmock.h>

namespace slotwitness::chassis {
namespace {

using testing::EndsWith;

const std::string hold = " -- more -- ";

std::string rows(int first, int last) {
    std::string text;
    for (int row = first; row <= last; ++row)
        text += "row " + std::to_string(row) + "\r\n";
    return text;
}

class OnATerminal : public testing::Test {
  protected:
    /// What is shown in answer to these keys.
    std::string typed(std::string_view keys) {
        shell.type(keys);
        return shell.take_shown();
    }
    std::string answered(std::string_view text) {
        shell.answer(text);
        return shell.take_shown();
    }
    LoginShell shell{"edge-7"};
};

TEST_F(OnATerminal, greets_and_prompts_and_repeats_what_is_typed) {
    EXPECT_EQ(shell.take_shown(), "Quillon edge-7. For those who may work here.\r\n\r\nedge-7> ");
    EXPECT_EQ(typed("tell"), "tell");
    EXPECT_EQ(typed(" planes\r"), " planes\r\n");
    EXPECT_EQ(shell.entered(), "tell planes");
    EXPECT_EQ(shell.entered(), std::nullopt);
    EXPECT_EQ(answered("1\n2\n"), "1\r\n2\r\nedge-7> ");
    EXPECT_EQ(typed("\r"), "\r\nedge-7> ");
}

TEST_F(OnATerminal, a_line_can_be_shown_anew_and_taken_away) {
    typed("relx");
    EXPECT_EQ(typed("\x7f"), "\b \b");
    EXPECT_EQ(typed("\x0c"), "\r\nedge-7> rel");
    EXPECT_EQ(typed("\x15"), "\b \b\b \b\b \b");
    EXPECT_EQ(typed("\x0c"), "\r\nedge-7> ");
    EXPECT_EQ(shell.entered(), std::nullopt);
}

TEST_F(OnATerminal, a_long_answer_holds_at_each_page_until_a_key_or_page_off) {
    typed("q\r");
    std::string text;
    for (int row = 1; row <= 30; ++row)
        text += "row " + std::to_string(row) + "\n";
    const std::string erased = "\r" + std::string(hold.size(), ' ') + "\r";
    EXPECT_EQ(answered(text), rows(1, 12) + hold);
    EXPECT_EQ(typed("x"), "");
    EXPECT_EQ(typed("\x0c"), "\r" + hold);
    EXPECT_EQ(typed("\r"), erased + rows(13, 13) + hold);
    EXPECT_EQ(typed(" "), erased + rows(14, 25) + hold);
    EXPECT_EQ(typed("q"), erased + "edge-7> ");
    typed("page off\rq\r");
    EXPECT_EQ(answered(text), rows(1, 30) + "edge-7> ");
}

TEST_F(OnATerminal, a_remark_stands_in_a_line_of_its_own_wherever_it_falls) {
    typed("tell");
    shell.remark("* hot");
    EXPECT_EQ(shell.take_shown(), "\r\n* hot\r\nedge-7> tell");
    typed("\r");
    shell.remark("* hot");
    EXPECT_EQ(answered("1\n"), "* hot\r\n1\r\nedge-7> ");
}

TEST_F(OnATerminal, what_is_typed_while_a_line_runs_waits_for_its_turn) {
    typed("q\r");
    EXPECT_EQ(typed("again\r"), "");
    EXPECT_THAT(answered("1\n"), EndsWith("edge-7> again\r\n"));
    EXPECT_EQ(shell.entered(), "again");
}

TEST_F(OnATerminal, leave_and_a_broken_answer_end_it) {
    typed("q\r");
    LoginShell other = shell;
    other.broken_answer("1\n2");
    EXPECT_THAT(other.take_shown(), EndsWith("1\r\n2"));
    EXPECT_TRUE(other.has_left());
    static_cast<void>(answered(""));
    EXPECT_EQ(typed("leave\r"), "leave\r\n");
    EXPECT_TRUE(shell.has_left());
}

} // namespace
} // namespace slotwitness::chassis
