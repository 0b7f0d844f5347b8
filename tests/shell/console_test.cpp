#include <slotwitness/chassis/login_shell.hpp>
#include <slotwitness/shell/dialogue.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

// A shell that is there already, as a former user left it: by hand, and as the simulated chassis
// shows it, whose login shell is the other side of a random play.

namespace slotwitness::shell {
namespace {

using ::testing::HasSubstr;
using Stage = Dialogue::Stage;

const std::string at_console = "edge-7> ";
const std::string shown_anew = "\r\n" + at_console;
const std::string redraw_key = "\x0c";
const std::string clear_key = "\x15";

Spec console_spec() {
    Spec spec;
    spec.is_prompt = [](std::string_view line) { return line == at_console; };
    spec.console = ConsoleKeys{redraw_key[0], clear_key[0]};
    spec.pagers = {" -- more -- "};
    spec.pager_key = ' ';
    return spec;
}

class Console : public ::testing::Test {
  protected:
    /// Hears this, byte by byte; nothing may be sent before the device falls silent.
    std::string silent_after(const std::string& text) {
        for (const char byte : text)
            EXPECT_EQ(dialogue.hear({&byte, 1}), "");
        return dialogue.fall_silent();
    }
    Dialogue dialogue{console_spec()};
};

TEST_F(Console, whose_prompt_came_twice_alone_is_cleared_and_asked_once_more_and_is_ready) {
    EXPECT_EQ(silent_after(""), redraw_key);
    EXPECT_EQ(silent_after(shown_anew), redraw_key);
    EXPECT_EQ(silent_after(shown_anew), clear_key + "\r");
    EXPECT_EQ(dialogue.stage(), Stage::finding);
    EXPECT_EQ(silent_after(shown_anew), "");
    EXPECT_EQ(dialogue.stage(), Stage::ready);
    EXPECT_EQ(dialogue.prompt(), at_console);
    EXPECT_EQ(dialogue.ask("tell planes"), "tell planes\r");
}

TEST(ConsoleBounds, a_prompt_beyond_its_bound_is_none) {
    for (const std::size_t size : {longest_prompt, longest_prompt + 1}) {
        const std::string prompt(size, 'p');
        Spec spec = console_spec();
        spec.is_prompt = [&prompt](std::string_view line) { return line == prompt; };
        Dialogue dialogue(std::move(spec));
        EXPECT_EQ(dialogue.fall_silent(), redraw_key);
        for (const char byte : "\r\n" + prompt)
            EXPECT_EQ(dialogue.hear({&byte, 1}), "");
        EXPECT_EQ(dialogue.fall_silent(), size == longest_prompt ? redraw_key : "");
    }
}

TEST(ConsoleBounds, of_a_line_beyond_its_bound_the_rest_is_not_kept) {
    LastLine line;
    for (int i = 0; i < 1030; ++i)
        line.take(i < 1024 ? 'a' : 'b');
    EXPECT_EQ(line.text(), std::string(1024, 'a'));
    line.take('\n');
    EXPECT_EQ(line.text(), "");
}

TEST_F(Console, that_shows_old_lines_first_is_found_behind_them) {
    EXPECT_EQ(silent_after("row 1\r\n" + at_console + "\r\n" + at_console), redraw_key);
    EXPECT_EQ(silent_after(shown_anew), redraw_key);
    EXPECT_EQ(silent_after(shown_anew), clear_key + "\r");
}

TEST_F(Console, that_clears_its_screen_and_repeats_keys_is_found_all_the_same) {
    const std::string anew = "^L\x1b[H\x1b[2J" + at_console + "\x1b[K";
    EXPECT_EQ(silent_after(""), redraw_key);
    EXPECT_EQ(silent_after(anew), redraw_key);
    EXPECT_EQ(silent_after(anew), clear_key + "\r");
    EXPECT_EQ(silent_after("^U\a" + shown_anew), "");
    EXPECT_EQ(dialogue.stage(), Stage::ready);
}

TEST_F(Console, with_a_line_half_typed_is_cleared_before_any_return) {
    EXPECT_EQ(silent_after(""), redraw_key);
    EXPECT_EQ(silent_after(shown_anew + "reload"), clear_key + redraw_key);
    EXPECT_EQ(silent_after("\b\b\b\b\b\b      \b\b\b\b\b\b" + shown_anew), redraw_key);
    EXPECT_EQ(silent_after(shown_anew), redraw_key);
    EXPECT_EQ(silent_after(shown_anew), clear_key + "\r");
}

TEST_F(Console, with_a_line_half_typed_that_does_not_go_never_gets_a_return) {
    EXPECT_EQ(silent_after(""), redraw_key);
    for (int times = 0; times < 998 && dialogue.stage() == Stage::finding; ++times)
        EXPECT_EQ(silent_after(shown_anew + "reload"), clear_key + redraw_key);
    EXPECT_EQ(silent_after(shown_anew + "reload"), clear_key + redraw_key);
    EXPECT_EQ(silent_after(shown_anew + "reload"), "");
    EXPECT_EQ(dialogue.stage(), Stage::odd);
    EXPECT_THAT(dialogue.why(), HasSubstr("something else is going on"));
}

TEST_F(Console, in_a_pager_is_left_page_by_page) {
    EXPECT_EQ(silent_after(""), redraw_key);
    EXPECT_EQ(silent_after("\r -- more -- "), " ");
    EXPECT_EQ(silent_after("\r            \rrow 13\r\n -- more -- "), " ");
    EXPECT_EQ(silent_after("\r            \rrow 25\r\n" + at_console), redraw_key);
    EXPECT_EQ(silent_after(shown_anew), redraw_key);
}

TEST_F(Console, that_stands_in_anything_else_gets_no_answer_and_its_line_is_told) {
    for (const std::string line : {"edge-7 login: ", "Password: ", "Erase all? [yes] ",
                                   "edge-7(change)# ", "--More--", ""}) {
        dialogue = Dialogue(console_spec());
        EXPECT_EQ(silent_after(""), redraw_key);
        EXPECT_EQ(silent_after("\r\n" + line), "") << line;
        EXPECT_EQ(silent_after("\a"), "") << line;
        EXPECT_EQ(dialogue.waits_in(), "\"" + line + "\"");
    }
}

TEST_F(Console, that_has_more_to_say_than_its_prompt_after_the_return_is_asked_again) {
    EXPECT_EQ(silent_after(""), redraw_key);
    EXPECT_EQ(silent_after(shown_anew), redraw_key);
    EXPECT_EQ(silent_after(shown_anew), clear_key + "\r");
    EXPECT_EQ(silent_after("\r\n* too hot" + shown_anew), redraw_key);
    EXPECT_EQ(dialogue.stage(), Stage::finding);
}

/// What somebody did at the console before.
std::string left_behind(chassis::LoginShell& device) {
    const std::vector<std::string> known{"reload", "tell planes\r", "\r", " ",
                                         "\x15",   "\x0c",          "q",  "page on\r"};
    const auto keys = *rc::gen::container<std::vector<std::string>>(rc::gen::elementOf(known));
    for (const std::string& key : keys) {
        device.type(key);
        if (device.entered())
            device.answer(*rc::gen::elementOf(std::vector<std::string>{
                "1\n2\n", "", "1\n2\n3\n4\n5\n6\n7\n8\n9\n10\n11\n12\n13\n14\n15\n"}));
    }
    return *rc::gen::arbitrary<bool>() ? device.take_shown()
                                       : (static_cast<void>(device.take_shown()), "");
}

RC_GTEST_PROP(ConsoleProperty, whatever_a_former_user_left_only_our_query_is_ever_run, ()) {
    chassis::LoginShell device("edge-7");
    Dialogue dialogue(console_spec());
    std::string on_the_way = left_behind(device);
    constexpr int most_rounds = 200;
    bool asked = false;
    for (int round = 0; round < most_rounds && dialogue.stage() != Stage::odd; ++round) {
        // Now and then a pause of the line looks like silence.
        const bool pauses = *rc::gen::weightedElement<bool>({{9, false}, {1, true}});
        const std::size_t size =
            pauses ? *rc::gen::inRange<std::size_t>(0, on_the_way.size() + 1) : on_the_way.size();
        std::string sent = dialogue.hear(on_the_way.substr(0, size));
        on_the_way.erase(0, size);
        sent += dialogue.fall_silent();
        if (dialogue.stage() == Stage::ready && asked) {
            RC_ASSERT(dialogue.answer() == "1 carrying\r\n");
            return;
        }
        if (dialogue.stage() == Stage::ready) {
            sent += dialogue.ask("tell planes");
            asked = true;
        }
        device.type(sent);
        if (const auto line = device.entered()) {
            RC_ASSERT(asked);
            RC_ASSERT(*line == "tell planes");
            device.answer("1 carrying\n");
        }
        on_the_way += device.take_shown();
    }
    RC_TAG(dialogue.stage() == Stage::odd ? "odd" : "late");
}

RC_GTEST_PROP(ConsoleProperty, a_line_without_pauses_is_always_found, ()) {
    chassis::LoginShell device("edge-7");
    Dialogue dialogue(console_spec());
    std::string shown = left_behind(device);
    constexpr int most_rounds = 20;
    for (int round = 0; round < most_rounds && dialogue.stage() == Stage::finding; ++round) {
        RC_ASSERT(dialogue.hear(shown) == "");
        device.type(dialogue.fall_silent());
        shown = device.take_shown();
    }
    RC_ASSERT(dialogue.stage() == Stage::ready);
}

} // namespace
} // namespace slotwitness::shell
