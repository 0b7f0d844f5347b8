#include <slotwitness/shell/dialogue.hpp>
#include <slotwitness/terminal/clean.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace slotwitness::shell {
namespace {

using ::testing::HasSubstr;
using Stage = Dialogue::Stage;

const std::string prompt = "edge-7/watch> ";
const std::string pager = "-- hold: more below --";

Spec spec() {
    Spec spec;
    spec.is_prompt = [](std::string_view line) {
        return line.starts_with("edge-") && line.ends_with("> ");
    };
    spec.pagers = {pager};
    spec.pager_key = ' ';
    spec.longest_answer = 1000;
    return spec;
}

/// What the device hears, and what it then says.
struct Turn {
    std::string hears;
    std::string says;
};

/// How what the device says at once is cut in pieces: after so many bytes; 0 into single bytes.
using Cut = std::size_t;

struct Played {
    Stage stage = Stage::login;
    std::string why;
    std::vector<std::string> answers;
    std::string sent;
    friend bool operator==(const Played&, const Played&) = default;
};
std::ostream& operator<<(std::ostream& out, const Played& played) {
    out << "stage " << static_cast<int>(played.stage) << ", " << played.why << ", sent "
        << ::testing::PrintToString(played.sent);
    return out;
}

std::string hear_in_pieces(Dialogue& dialogue, std::string_view text, Cut cut) {
    std::string sent;
    while (!text.empty()) {
        const auto piece = text.substr(0, cut == 0 ? 1 : cut);
        sent += dialogue.hear(piece);
        text.remove_prefix(piece.size());
        cut = cut == 0 ? 0 : std::string_view::npos;
    }
    return sent;
}

/// Plays the turns, the first of them without being asked; asks the queries as soon as it is ready.
Played play(const std::vector<Turn>& turns, std::vector<std::string> queries, Cut cut) {
    Dialogue dialogue(spec());
    Played played;
    std::string sent;
    std::size_t asked = 0;
    for (const Turn& turn : turns) {
        EXPECT_EQ(sent, turn.hears);
        sent = hear_in_pieces(dialogue, turn.says, cut);
        if (dialogue.stage() == Stage::ready) {
            if (asked > 0)
                played.answers.push_back(dialogue.answer());
            if (asked < queries.size())
                sent += dialogue.ask(queries[asked++]);
        }
        played.sent += sent;
    }
    played.stage = dialogue.stage();
    played.why = dialogue.stage() == Stage::odd ? dialogue.why() : "";
    return played;
}

std::size_t longest_of(const std::vector<Turn>& turns) {
    std::size_t longest = 0;
    for (const Turn& turn : turns)
        longest = std::max(longest, turn.says.size());
    return longest;
}

const std::string again = "\r\n" + prompt;

std::vector<Turn> a_whole_session() {
    return {{"", "Property of nobody.\r\n\r\nLast seen > yesterday\r\n" + prompt},
            {"\r", again},
            {"paging off\r", "paging off\r\n" + prompt},
            {"\r", again},
            {"tell planes\r", "tell planes\r\nPLANE STATE\r\n1     carrying\r\n" + pager},
            {" ", "\r" + std::string(pager.size(), ' ') + "\r2     carrying\r\n" + prompt},
            {"\r", again},
            {"tell trays\r", "tell trays\r\n" + prompt},
            {"\r", again}};
}

TEST(ShellDialogue, every_cut_of_what_a_device_says_gives_the_same_answers) {
    const auto turns = a_whole_session();
    const std::vector<std::string> queries{"paging off", "tell planes", "tell trays"};
    const Played whole = play(turns, queries, std::string::npos);
    EXPECT_EQ(whole.stage, Stage::ready) << whole.why;
    ASSERT_EQ(whole.answers.size(), 3U);
    EXPECT_EQ(whole.answers[0], "");
    EXPECT_EQ(whole.answers[1], "PLANE STATE\r\n1     carrying\r\n" + pager + "\r" +
                                    std::string(pager.size(), ' ') + "\r2     carrying\r\n");
    EXPECT_EQ(whole.answers[2], "");
    for (Cut cut = 0; cut < longest_of(turns); ++cut)
        EXPECT_EQ(play(turns, queries, cut), whole) << "cut after " << cut;
}

TEST(ShellDialogue, a_session_that_stops_anywhere_has_no_answer_that_it_would_not_have_whole) {
    const auto turns = a_whole_session();
    const std::vector<std::string> queries{"paging off", "tell planes", "tell trays"};
    const Played whole = play(turns, queries, std::string::npos);
    for (std::size_t last = 0; last < turns.size(); ++last)
        for (std::size_t bytes = 0; bytes < turns[last].says.size(); ++bytes) {
            std::vector<Turn> cut(turns.begin(), turns.begin() + static_cast<long>(last) + 1);
            cut.back().says.resize(bytes);
            const Played played = play(cut, queries, std::string::npos);
            ASSERT_LE(played.answers.size(), whole.answers.size());
            EXPECT_TRUE(
                std::equal(played.answers.begin(), played.answers.end(), whole.answers.begin()));
            EXPECT_TRUE(whole.sent.starts_with(played.sent));
        }
}

TEST(ShellDialogue, a_paged_answer_reads_as_if_it_had_not_been_paged) {
    auto turns = a_whole_session();
    turns.resize(turns.size() - 2);
    const Played played = play(turns, {"paging off", "tell planes"}, 0);
    ASSERT_EQ(played.answers.size(), 2U);
    terminal::TerminalSpec terminal;
    terminal.pagers = {pager};
    const auto clean = terminal::clean(played.answers[1], terminal, true);
    EXPECT_TRUE(clean.unread_with({}).empty());
    EXPECT_EQ(clean.text(), "PLANE STATE\r\n1     carrying\r\n2     carrying\n");
}

TEST(ShellDialogue, a_pager_that_is_taken_back_at_the_end_of_an_answer_leaves_the_prompt) {
    for (const std::string& erasure :
         {"\r" + std::string(pager.size(), ' ') + "\r", std::string("\b \b"), std::string("\r")}) {
        const Played played = play({{"", prompt},
                                    {"\r", again},
                                    {"q\r", "q\r\nrow\r\n" + pager},
                                    {" ", erasure + prompt},
                                    {"\r", again}},
                                   {"q"}, 0);
        ASSERT_EQ(played.stage, Stage::ready) << played.why;
        EXPECT_EQ(played.answers.at(0), "row\r\n" + pager + erasure);
    }
}

/// The stage after a login and one query, to which the device says these things in turn.
Played asked(const std::vector<std::string>& says) {
    std::vector<Turn> turns{{"", prompt}, {"\r", again}};
    for (std::size_t i = 0; i < says.size(); ++i)
        turns.push_back({i == 0 ? "tell planes\r" : "\r", says[i]});
    return play(turns, {"tell planes"}, std::string::npos);
}

TEST(ShellDialogue, a_line_that_begins_like_the_prompt_is_not_taken_for_it) {
    // In one piece with its rest, and with the rest after it.
    for (const auto& says :
         {std::vector<std::string>{"tell planes\r\n" + prompt + "is a row\r\n" + prompt},
          {"tell planes\r\n" + prompt, "is a row\r\n" + prompt + again},
          {"tell planes\r\n" + prompt, "\r\nrow 2\r\n" + prompt + again}}) {
        const Played played = asked(says);
        EXPECT_EQ(played.stage, Stage::odd);
        EXPECT_TRUE(played.answers.empty());
    }
}

TEST(ShellDialogue, a_prompt_within_a_line_does_not_end_an_answer) {
    const Played played = asked({"tell planes\r\nname is " + prompt + "\r\n " + prompt});
    EXPECT_EQ(played.stage, Stage::answer);
    EXPECT_TRUE(played.answers.empty());
}

TEST(ShellDialogue, another_prompt_than_the_one_learned_does_not_end_an_answer) {
    const Played played = asked({"tell planes\r\nrow\r\nedge-8/watch> "});
    EXPECT_EQ(played.stage, Stage::answer);
}

TEST(ShellDialogue, a_prompt_that_changes_from_time_to_time_is_told_at_login) {
    const Played played = play({{"", "edge-7 12:01> "}, {"\r", "\r\nedge-7 12:02> "}}, {}, 0);
    EXPECT_EQ(played.stage, Stage::odd);
    EXPECT_THAT(played.why, HasSubstr("did not come again after an empty line"));
}

TEST(ShellDialogue, an_echo_that_is_not_exact_is_odd) {
    for (const std::string echo :
         {"tell plane\r\n", "tell  planes\r\n", "tell planes \r\n", "\r\ntell planes\r\n",
          "Tell planes\r\n", "tell pl\b\bplanes\r\n"}) {
        const Played played = asked({echo + "row\r\n" + prompt});
        EXPECT_EQ(played.stage, Stage::odd) << ::testing::PrintToString(echo);
        EXPECT_THAT(played.why, HasSubstr("did not repeat \"tell planes\" as it was sent"));
    }
}

TEST(ShellDialogue, what_is_said_unasked_ends_it_so_that_it_is_not_taken_for_an_answer) {
    Dialogue dialogue(spec());
    EXPECT_EQ(dialogue.hear(prompt), "\r");
    EXPECT_EQ(dialogue.hear(again), "");
    ASSERT_EQ(dialogue.stage(), Stage::ready);
    EXPECT_EQ(dialogue.hear("%late: fan speed\r\n"), "");
    EXPECT_EQ(dialogue.stage(), Stage::odd);
    EXPECT_THAT(dialogue.why(), HasSubstr("without being asked"));
    EXPECT_EQ(dialogue.hear(prompt), "");
}

TEST(ShellDialogue, what_comes_with_the_proof_of_a_prompt_makes_the_answer_not_whole) {
    const Played played = asked({"tell planes\r\nrow\r\n" + prompt, again + again});
    EXPECT_EQ(played.stage, Stage::odd);
    EXPECT_TRUE(played.answers.empty());
}

TEST(ShellDialogue, a_pagers_prompt_is_answered_only_where_it_stands_alone_at_a_lines_beginning) {
    Dialogue dialogue(spec());
    EXPECT_EQ(dialogue.hear(prompt), "\r");
    EXPECT_EQ(dialogue.hear(again), "");
    static_cast<void>(dialogue.ask("q"));
    EXPECT_EQ(dialogue.hear("q\r\nx" + pager), "");
    EXPECT_EQ(dialogue.hear("\r\n" + pager + " of the book\r\n"), "");
    EXPECT_EQ(dialogue.hear(pager), " ");
    EXPECT_EQ(dialogue.hear("\r" + pager), " ") << "the next page holds at once";
    EXPECT_EQ(dialogue.stage(), Stage::answer);
}

TEST(ShellDialogue, without_a_key_a_pagers_prompt_is_not_answered) {
    Spec without = spec();
    without.pager_key.reset();
    Dialogue dialogue(without);
    EXPECT_EQ(dialogue.hear(prompt), "\r");
    EXPECT_EQ(dialogue.hear(again), "");
    static_cast<void>(dialogue.ask("q"));
    EXPECT_EQ(dialogue.hear("q\r\n" + pager), "");
}

TEST(ShellDialogue, an_answer_of_the_longest_length_is_whole_and_one_byte_more_is_told) {
    const std::string longest = std::string(998, 'x') + "\r\n";
    EXPECT_EQ(asked({"tell planes\r\n" + longest + prompt, again}).answers,
              std::vector<std::string>{longest});
    const Played more = asked({"tell planes\r\nx" + longest + prompt});
    EXPECT_EQ(more.stage, Stage::odd);
    const Played much = asked({"tell planes\r\n" + longest + longest});
    EXPECT_EQ(much.stage, Stage::odd);
    EXPECT_THAT(much.why, HasSubstr("longer than the limit of 1000 bytes"));
}

TEST(ShellDialogue, a_banner_without_end_is_told) {
    const Played played = play({{"", std::string(longest_login + 1, 'x')}}, {}, std::string::npos);
    EXPECT_EQ(played.stage, Stage::odd);
    EXPECT_THAT(played.why, HasSubstr("no prompt within"));
}

TEST(ShellDialogue, a_prompt_is_not_longer_than_its_bound) {
    const auto ends = [](std::size_t size) { return "edge-" + std::string(size - 7, 'x') + "> "; };
    EXPECT_EQ(play({{"", ends(longest_prompt)}}, {}, std::string::npos).stage, Stage::proving);
    EXPECT_EQ(play({{"", ends(longest_prompt + 1)}}, {}, std::string::npos).stage, Stage::login);
}

/// A text of pieces that mean something here.
std::string random_text() {
    const std::vector<std::string> known{prompt,
                                         pager,
                                         "\r\n",
                                         "\n",
                                         "\r",
                                         "q",
                                         "q\r\n",
                                         " ",
                                         "row",
                                         "edge-8> ",
                                         "\b",
                                         "\x1b[K",
                                         prompt.substr(0, 5)};
    const auto pieces = *rc::gen::container<std::vector<std::string>>(rc::gen::elementOf(known));
    std::string text;
    for (const std::string& piece : pieces)
        text += piece;
    return text;
}

RC_GTEST_PROP(ShellDialogue, whatever_comes_only_what_is_on_the_list_is_sent, ()) {
    Dialogue dialogue(spec());
    for (int turn = 0; turn < 4; ++turn) {
        const std::string sent = dialogue.hear(random_text());
        RC_ASSERT(sent.find_first_not_of("\r ") == std::string::npos);
        if (dialogue.stage() == Stage::ready)
            RC_ASSERT(dialogue.ask("q") == "q\r");
    }
}

RC_GTEST_PROP(ShellDialogue, an_answer_is_what_stands_between_the_echo_and_the_last_prompt, ()) {
    const std::string text = random_text();
    const std::string rest = random_text();
    Dialogue dialogue(spec());
    static_cast<void>(dialogue.hear(prompt));
    static_cast<void>(dialogue.hear(again));
    static_cast<void>(dialogue.ask("q"));
    static_cast<void>(dialogue.hear("q\r\n" + text));
    static_cast<void>(dialogue.hear(rest));
    static_cast<void>(dialogue.hear(again));
    if (dialogue.stage() == Stage::ready) {
        const std::string all = text + rest;
        RC_ASSERT((text + rest + again).starts_with(dialogue.answer() + prompt));
    }
}

} // namespace
} // namespace slotwitness::shell
