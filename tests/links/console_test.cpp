#include "support.hpp"

#include <slotwitness/twins/child.hpp>
#include <slotwitness/twins/folder.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <csignal>
#include <fcntl.h>
#include <filesystem>
#include <fstream>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

// A console server: OpenSSH's, whose every session is joined to one and the same terminal, which
// was there before and stays. On it runs a general-purpose shell; util-linux' script keeps it.

namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;
using ::testing::HasSubstr;

constexpr units::Duration long_enough{60'000};

Limits on_a_console(units::Duration timeout) {
    return in_a_shell(timeout, "console = true\nredraw-key = \"ctrl-l\"\nclear-key = \"ctrl-u\"\n"
                               "quiet = \"200 ms\"\n");
}

class ConsoleServer : public ::testing::Test {
  protected:
    void SetUp() override {
        if (const auto missing = twins::Sshd::missing())
            GTEST_SKIP() << *missing;
        ASSERT_TRUE(prepare_ssh());
        ASSERT_EQ(::mkfifo(file("in").c_str(), 0600), 0);
        ASSERT_EQ(::mkfifo(file("out").c_str(), 0600), 0);
        ASSERT_EQ(::mkfifo(file("joined").c_str(), 0600), 0);
    }
    void TearDown() override {
        sshd_.reset();
        if (terminal_ > 0) {
            ::kill(terminal_, SIGKILL);
            ::waitpid(terminal_, nullptr, 0);
        }
    }
    [[nodiscard]] std::string file(const std::string& name) const { return folder_.file(name); }

    /// The terminal with this on it, and the server in front.
    void start(const std::string& on_the_terminal) {
        std::ofstream(file("terminal.sh"))
            << "cd " << folder_.path() << "; exec 3<>in 4<>out; : >ready\n"
            << "exec script -q -f -E always -c \"" << on_the_terminal << "\" /dev/null <&3 >&4\n";
        const auto started =
            twins::start_until({"/bin/sh", file("terminal.sh")}, file("ready"), file("log"));
        ASSERT_TRUE(started);
        terminal_ = *started;
        std::ofstream(file("join.sh"))
            << "cd " << folder_.path()
            << "; exec 9<>joined; stty raw -echo; cat out & exec cat >in\n";
        twins::Sshd::Setup setup;
        setup.forced_command = "exec /bin/sh " + file("join.sh");
        sshd_ = twins::Sshd::start(std::move(setup));
    }
    void start_shell() {
        start("env PS1='edge-7> ' TERM=dumb bash --norc --noprofile -i");
        former_user_types("", "edge-7> ");
    }
    /// Somebody who was there before, alone, and saw this last.
    void former_user_types(const std::string& keys, const std::string& sees) {
        wait_until_left(file("joined")); // a channel that is closing would take what comes
        std::ofstream(file("in")) << keys << std::flush;
        const int out = ::open(file("out").c_str(), O_RDONLY | O_CLOEXEC);
        std::string seen;
        char byte = 0;
        while (!seen.ends_with(sees) && ::read(out, &byte, 1) == 1)
            seen += byte;
        ::close(out);
    }
    std::unique_ptr<Link> connected(units::Duration timeout = long_enough) {
        auto link = make_ssh_link(loop_.get_executor(), target_of(*sshd_), on_a_console(timeout));
        const auto result = run(loop_, link->connect());
        EXPECT_TRUE(result) << result.error().text << sshd_->log();
        return link;
    }
    tl::expected<Answer, LinkError> ask(Link& link, const std::string& command) {
        auto query = approved(command);
        return run(loop_, link.ask(std::move(query)));
    }
    void expect_whole(Link& link, const std::string& command, const std::string& bytes) {
        const auto answer = ask(link, command);
        ASSERT_TRUE(answer) << answer.error().text;
        EXPECT_TRUE(answer->ended) << answer->remark;
        EXPECT_EQ(answer->bytes, bytes);
    }

    asio::io_context loop_;
    twins::Folder folder_;
    std::unique_ptr<twins::Sshd> sshd_;
    pid_t terminal_ = -1;
};

const std::string one_to_three = "1\r\n2\r\n3\r\n";

TEST_F(ConsoleServer, answers_in_the_shell_that_is_there_session_after_session) {
    start_shell();
    for (int session = 0; session < 2; ++session) {
        const auto link = connected();
        expect_whole(*link, "seq 1 3", one_to_three);
        expect_whole(*link, "true", "");
        link->close();
        finish(loop_);
    }
}

TEST_F(ConsoleServer, never_runs_what_a_former_user_left_half_typed) {
    start_shell();
    former_user_types("touch " + file("run"), "run");
    expect_whole(*connected(), "seq 1 3", one_to_three);
    EXPECT_FALSE(std::filesystem::exists(file("run")));
}

TEST_F(ConsoleServer,
       where_a_pager_is_open_that_shows_nothing_anew_is_told_until_somebody_leaves_it) {
    start_shell();
    former_user_types("seq 1 500 | more\r", "--More--");
    const auto link = connected(units::Duration(1'500));
    const auto answer = ask(*link, "seq 1 3");
    ASSERT_FALSE(answer);
    EXPECT_EQ(answer.error().kind, Kind::refused);
    EXPECT_THAT(answer.error().text, HasSubstr("leave the console at its prompt"));
    EXPECT_TRUE(link->connected());
    former_user_types("q", "edge-7> ");
    auto again = ask(*link, "seq 1 3");
    while (!again) // a slow machine may take longer
        again = ask(*link, "seq 1 3");
    EXPECT_EQ(again->bytes, one_to_three);
}

TEST_F(ConsoleServer, where_a_login_is_wanted_is_told_and_hears_the_redraw_key_alone) {
    start("stty raw -echo; printf 'edge-7 login: '; exec cat >heard");
    const auto answer = ask(*connected(units::Duration(1'000)), "seq 1 3");
    ASSERT_FALSE(answer);
    EXPECT_EQ(answer.error().kind, Kind::refused);
    EXPECT_THAT(answer.error().text, HasSubstr("in the line \"edge-7 login: \""));
    EXPECT_THAT(answer.error().text, HasSubstr("or a login, is never answered"));
    std::ifstream heard(file("heard"), std::ios::binary);
    EXPECT_EQ(std::string(std::istreambuf_iterator<char>(heard), {}), "\x0c");
}

TEST_F(ConsoleServer, whose_answer_comes_late_gives_it_to_no_later_query) {
    start_shell();
    const auto link = connected(units::Duration(2'000));
    auto late = ask(*link, "sleep 3");
    while (!late)
        late = ask(*link, "sleep 3");
    EXPECT_FALSE(late->ended);
    EXPECT_THAT(late->remark, HasSubstr("cut after 2 s"));
    auto next = ask(*link, "seq 1 3");
    while (!next || !next->ended)
        next = ask(*link, "seq 1 3");
    EXPECT_EQ(next->bytes, one_to_three);
}

} // namespace
} // namespace slotwitness::links::test
