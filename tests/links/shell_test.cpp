#include "support.hpp"

#include <slotwitness/twins/folder.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>

// Login shells of OpenSSH's server: general-purpose ones as they come, and a small one of our own
// with banner, pager and a record of every byte that reached it.

namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;
using ::testing::HasSubstr;

constexpr units::Duration plenty{120'000};
constexpr units::Duration little{700};

/// Answers "tell N" with N rows, "hold N" through a pager, "late" only when another line has come,
/// "like the prompt" with a row that begins like it, "bye" by leaving.
constexpr auto small_shell = R"(#!/bin/sh
say() { printf '%s\r\n' "$1"; }
rows() { i=1; while [ $i -le "$1" ]; do say "row $i"; i=$((i + 1)); done; }
stty -onlcr
say 'Property of nobody. Last login > yesterday'
say ''
while printf 'edge-7> ' && IFS= read -r line; do
    printf '%s\n' "$line" >>"$0.heard"
    case $line in
    'tell '*) rows "${line#tell }" ;;
    'hold '*)
        say 'first'
        stty -icanon -echo
        printf -- '-- hold --'
        dd bs=1 count=1 2>/dev/null | od -An -c >>"$0.heard"
        stty icanon echo
        printf '\r          \r'
        rows "${line#hold }" ;;
    late) IFS= read -r line; printf '%s\n' "$line" >>"$0.heard"; say 'late answer' ;;
    'like the prompt') say 'row 1'; printf 'edge-7> '; say 'is how row 2 begins'; say 'row 3' ;;
    bye) exit 0 ;;
    'size') stty size ;;
    esac
done
)";

class ShellLink : public ::testing::Test {
  protected:
    void SetUp() override {
        if (const auto missing = twins::Sshd::missing())
            GTEST_SKIP() << *missing;
        ASSERT_TRUE(prepare_ssh());
    }
    /// A server whose account has this login shell.
    void serve(const std::string& command, std::vector<std::string> more = {}) {
        twins::Sshd::Setup setup;
        setup.forced_command = command;
        setup.more = std::move(more);
        sshd_ = twins::Sshd::start(std::move(setup));
    }
    void serve_small_shell(std::vector<std::string> more = {}) {
        std::ofstream(folder_.path() / "shell") << small_shell;
        serve("/bin/sh " + folder_.file("shell"), std::move(more));
    }
    [[nodiscard]] std::string heard() const {
        std::ifstream file(folder_.path() / "shell.heard", std::ios::binary);
        return {std::istreambuf_iterator<char>(file), {}};
    }
    std::unique_ptr<Link> connected(Limits limits) {
        auto link = make_ssh_link(loop_.get_executor(), target_of(*sshd_), std::move(limits));
        const auto result = run(loop_, link->connect());
        EXPECT_TRUE(result) << result.error().text;
        return link;
    }
    tl::expected<Answer, LinkError> ask(Link& link, const std::string& command) {
        return run(loop_, link.ask(approved(command)));
    }
    void expect_whole(Link& link, const std::string& command, const std::string& bytes) {
        const auto answer = ask(link, command);
        ASSERT_TRUE(answer) << answer.error().text;
        EXPECT_TRUE(answer->ended) << answer->remark;
        EXPECT_EQ(answer->exit_status, 0);
        EXPECT_EQ(answer->remark, "");
        EXPECT_TRUE(answer->bytes == bytes) << answer->bytes.substr(0, 500);
    }

    asio::io_context loop_;
    twins::Folder folder_;
    std::unique_ptr<twins::Sshd> sshd_;
};

std::string numbers(int last) {
    std::string text;
    for (int i = 1; i <= last; ++i)
        text.append(std::to_string(i)).append("\r\n");
    return text;
}

std::string rows(int last) {
    std::string text;
    for (int i = 1; i <= last; ++i)
        text.append("row ").append(std::to_string(i)).append("\r\n");
    return text;
}

TEST_F(ShellLink, general_purpose_shells_answer_line_by_line_what_they_answer_a_command) {
    for (const std::string shell : {"exec env PS1='edge-7> ' bash --norc --noprofile -i",
                                    "exec env PS1='edge-7> ' dash -i"}) {
        SCOPED_TRACE(shell);
        serve(shell);
        const auto by_shell = connected(in_a_shell(plenty));
        twins::Sshd::Setup setup;
        const auto other = twins::Sshd::start(setup);
        const auto by_command = make_ssh_link(loop_.get_executor(), target_of(*other), {plenty});
        ASSERT_TRUE(run(loop_, by_command->connect()));
        for (const std::string command :
             {"lsblk --help", "cat /etc/passwd", "seq 1 5000", "true"}) {
            auto expected = ask(*by_command, command);
            ASSERT_TRUE(expected);
            std::string lines;
            for (const char byte : expected->bytes)
                lines.append(byte == '\n' ? "\r" : "").append(1, byte);
            expect_whole(*by_shell, command, lines);
        }
    }
}

TEST_F(ShellLink, a_hosts_links_read_field_by_field_as_over_a_command) {
    std::ifstream file(SLOTWITNESS_FIXTURES "/linux/ip-link.toml");
    const std::string text{std::istreambuf_iterator<char>(file), {}};
    const auto profile = profiles::parse_profile(text, "ip-link.toml");
    ASSERT_TRUE(profile);
    const profiles::Asking links{"links", {}};
    const auto by_command = twins::Sshd::start();
    const auto command = make_ssh_link(loop_.get_executor(), target_of(*by_command), {plenty});
    ASSERT_TRUE(run(loop_, command->connect()));
    serve("exec env PS1='edge-7> ' bash --norc --noprofile -i");
    const auto shell = connected(in_a_shell(plenty));
    const std::string request = profiles::request_bytes(*profile, links).value();
    const auto expected = ask(*command, request);
    const auto answer = ask(*shell, request);
    ASSERT_TRUE(expected) << expected.error().text;
    ASSERT_TRUE(answer) << answer.error().text;
    const auto as_read = profiles::read(*profile, links, expected->bytes, expected->ended);
    EXPECT_TRUE(as_read.wholly_read());
    EXPECT_FALSE(as_read.rows.empty());
    EXPECT_EQ(profiles::read(*profile, links, answer->bytes, answer->ended), as_read);
}

TEST_F(ShellLink, the_terminal_is_as_wide_as_the_profile_says) {
    serve("exec env PS1='edge-7> ' dash -i");
    expect_whole(*connected(in_a_shell(plenty, "columns = 300")), "stty size", "512 300\r\n");
}

TEST_F(ShellLink, banner_echo_pager_and_prompt_are_dealt_with_and_only_the_list_is_sent) {
    serve_small_shell();
    const auto link = connected(in_a_shell(plenty, R"(session-queries = ["tell 0"]
pager-key = "blank"
[terminal]
pagers = ["-- hold --"])"));
    expect_whole(*link, "tell 3", rows(3));
    expect_whole(*link, "hold 2", "first\r\n-- hold --\r          \r" + rows(2));
    expect_whole(*link, "tell 1", rows(1));
    // Each empty line asks for the prompt again.
    EXPECT_EQ(heard(), "\ntell 0\n\ntell 3\n\nhold 2\n    \n\ntell 1\n\n");
}

TEST_F(ShellLink, an_answer_with_a_line_that_begins_like_the_prompt_is_not_whole) {
    serve_small_shell();
    const auto link = connected(in_a_shell(plenty));
    const auto answer = ask(*link, "like the prompt");
    ASSERT_TRUE(answer) << answer.error().text;
    EXPECT_FALSE(answer->ended);
    EXPECT_EQ(answer->exit_status, std::nullopt);
    expect_whole(*link, "tell 2", rows(2));
}

TEST_F(ShellLink, a_late_answer_is_never_taken_for_that_of_the_next_query) {
    serve_small_shell({"MaxSessions 1"});
    Limits limits = in_a_shell(units::Duration(3'000));
    const auto link = connected(limits);
    auto answer = ask(*link, "late");
    while (!answer) // a slow machine may not even log in so soon
        answer = ask(*link, "late");
    EXPECT_FALSE(answer->ended);
    EXPECT_THAT(answer->remark, HasSubstr("cut after 3 s"));
    // The server may free the place a moment after it closed the channel.
    auto next = ask(*link, "tell 2");
    while (!next && next.error().kind == Kind::refused)
        next = ask(*link, "tell 2");
    ASSERT_TRUE(next) << next.error().text;
    EXPECT_EQ(next->bytes, rows(2));
    EXPECT_TRUE(next->ended) << next->remark;
}

TEST_F(ShellLink, a_shell_that_leaves_ends_its_answer_as_not_whole) {
    serve_small_shell();
    const auto link = connected(in_a_shell(plenty));
    const auto answer = ask(*link, "bye");
    ASSERT_TRUE(answer) << answer.error().text;
    EXPECT_FALSE(answer->ended);
    EXPECT_THAT(answer->remark, HasSubstr("closed the shell while we were waiting for the prompt"));
    expect_whole(*link, "tell 1", rows(1));
}

TEST_F(ShellLink, an_answer_without_end_is_cut_at_the_profiles_limit_and_the_link_goes_on) {
    serve("exec env PS1='edge-7> ' dash -i");
    const auto link = connected([] {
        Limits limits = in_a_shell(plenty);
        limits.longest_answer = 100'000;
        return limits;
    }());
    const auto answer = ask(*link, "yes");
    ASSERT_TRUE(answer) << answer.error().text;
    EXPECT_FALSE(answer->ended);
    EXPECT_EQ(answer->bytes.size(), 100'000U);
    EXPECT_THAT(answer->remark, HasSubstr("limit of 100000 bytes"));
    expect_whole(*link, "seq 1 3", numbers(3));
}

TEST_F(ShellLink, a_shell_without_a_prompt_that_the_profile_knows_is_told) {
    serve("exec env PS1='edge-7# ' dash -i");
    const auto link = connected(in_a_shell(little));
    const auto answer = ask(*link, "seq 1 3");
    ASSERT_FALSE(answer);
    EXPECT_THAT(answer.error().text, HasSubstr("waiting for the prompt after login"));
    EXPECT_TRUE(link->connected());
}

TEST_F(ShellLink, an_account_without_terminals_is_told) {
    serve_small_shell({"PermitTTY no"});
    const auto answer = ask(*connected(in_a_shell(plenty)), "tell 1");
    ASSERT_FALSE(answer);
    EXPECT_EQ(answer.error().kind, Kind::refused);
    EXPECT_THAT(answer.error().text, HasSubstr("the device refused a terminal"));
}

} // namespace
} // namespace slotwitness::links::test
