#include "support.hpp"

#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sstream>

namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

/// Time enough on any machine: a test that runs into it fails.
constexpr units::Duration ample{120'000};
/// For tests whose subject is that a wait ends.
constexpr units::Duration brief{500};

// A command that shall not end by itself is `cat`: it ends when the server lets go of its input, so
// that nothing stays behind.

class SshLinkTest : public ::testing::Test {
  protected:
    void SetUp() override {
        if (const auto missing = twins::Sshd::missing()) {
            GTEST_SKIP() << *missing;
        }
        ASSERT_TRUE(prepare_ssh());
    }
    void start(twins::Sshd::Setup setup = {}) { sshd_ = twins::Sshd::start(std::move(setup)); }
    [[nodiscard]] std::unique_ptr<Link> link_to(const Target& target, Limits limits = {ample}) {
        return make_ssh_link(loop_.get_executor(), target, limits);
    }
    /// A link that is connected.
    [[nodiscard]] std::unique_ptr<Link> connected(Limits limits = {ample}) {
        auto link = link_to(target_of(*sshd_), limits);
        const auto result = run(loop_, link->connect());
        EXPECT_TRUE(result) << result.error().text << sshd_->log();
        return link;
    }
    tl::expected<Answer, LinkError> ask(Link& link, const std::string& command) {
        return run(loop_, link.ask(approved(command)));
    }

    std::unique_ptr<twins::Sshd> sshd_;
    asio::io_context loop_;
};

TEST_F(SshLinkTest, an_answer_comes_whole_with_output_errors_and_exit_status) {
    start();
    const auto link = connected();
    EXPECT_TRUE(link->connected());
    const auto answer = ask(*link, "echo out; echo err >&2; exit 3");
    ASSERT_TRUE(answer) << answer.error().text;
    EXPECT_EQ(answer->bytes, "out\n");
    EXPECT_EQ(answer->errors, "err\n");
    EXPECT_TRUE(answer->ended);
    EXPECT_EQ(answer->exit_status, 3);
    EXPECT_EQ(answer->remark, "");
    link->close();
    EXPECT_FALSE(link->connected());
}

TEST_F(SshLinkTest, a_command_forced_on_the_account_answers_in_place_of_the_query) {
    twins::Sshd::Setup setup;
    setup.forced_command = "echo forced \"$SSH_ORIGINAL_COMMAND\"; exit 9";
    start(setup);
    const auto answer = ask(*connected(), "tell planes");
    ASSERT_TRUE(answer);
    EXPECT_EQ(answer->bytes, "forced tell planes\n");
    EXPECT_EQ(answer->exit_status, 9);
}

TEST_F(SshLinkTest, a_command_bound_to_the_key_answers_in_place_of_the_query) {
    twins::Sshd::Setup setup;
    setup.key_command = "echo bound";
    start(setup);
    const auto answer = ask(*connected(), "anything");
    ASSERT_TRUE(answer);
    EXPECT_EQ(answer->bytes, "bound\n");
}

TEST_F(SshLinkTest, a_command_that_a_signal_ends_is_remarked_and_has_no_exit_status) {
    start();
    const auto answer = ask(*connected(), "echo part; kill -9 $$");
    ASSERT_TRUE(answer);
    EXPECT_EQ(answer->bytes, "part\n");
    EXPECT_EQ(answer->exit_status, std::nullopt);
    EXPECT_THAT(answer->remark, HasSubstr("signal KILL"));
}

TEST_F(SshLinkTest, bytes_pass_unchanged) {
    start();
    const auto answer = ask(*connected(), R"(printf '\000\001\r\n\377\033[1m')");
    ASSERT_TRUE(answer);
    EXPECT_EQ(answer->bytes, std::string("\0\1\r\n\377\033[1m", 9));
}

TEST_F(SshLinkTest, an_answer_over_the_cap_is_cut_there_and_the_session_lives_on) {
    start();
    Limits limits{ample};
    limits.longest_answer = 100'000;
    const auto link = connected(limits);
    const auto answer = ask(*link, "yes");
    ASSERT_TRUE(answer) << answer.error().text;
    EXPECT_FALSE(answer->ended);
    EXPECT_EQ(answer->bytes.size(), limits.longest_answer);
    EXPECT_THAT(answer->remark, HasSubstr("longer than the limit of 100000 bytes"));
    const auto exact = ask(*link, "head -c 100000 /dev/zero");
    ASSERT_TRUE(exact) << exact.error().text;
    EXPECT_TRUE(exact->ended);
    EXPECT_EQ(exact->bytes.size(), limits.longest_answer);
}

TEST_F(SshLinkTest, an_answer_that_takes_too_long_is_cut_and_the_session_lives_on) {
    start();
    Limits limits{brief};
    const auto link = connected(limits);
    const auto answer = ask(*link, "echo part; exec cat");
    ASSERT_TRUE(answer) << answer.error().text;
    EXPECT_FALSE(answer->ended);
    EXPECT_TRUE(std::string("part\n").starts_with(answer->bytes));
    EXPECT_THAT(answer->remark, HasSubstr("cut after 500 ms"));
    EXPECT_TRUE(link->connected());
}

TEST_F(SshLinkTest, queries_one_after_the_other_take_no_more_than_their_place_on_the_server) {
    twins::Sshd::Setup setup;
    setup.more = {"MaxSessions 2"}; // one in use, one that the server may not have swept up yet
    start(setup);
    const auto link = connected();
    for (int round = 0; round < 30; ++round) {
        const auto answer = ask(*link, "seq 1 1000");
        ASSERT_TRUE(answer) << answer.error().text;
        ASSERT_TRUE(answer->ended);
    }
}

TEST_F(SshLinkTest, channels_given_up_leave_no_slot_taken_on_the_server) {
    twins::Sshd::Setup setup;
    setup.more = {"MaxSessions 1"};
    start(setup);
    Limits limits{ample};
    limits.longest_answer = 10;
    const auto link = connected(limits);
    for (int cut = 0; cut < 20;) {
        const auto answer = ask(*link, "seq 1 100000");
        if (!answer) {
            // The server frees the slot when the command has died of its closed output, a little
            // after it has closed the channel. A slot that leaks is never free again: the test's
            // time-out.
            ASSERT_EQ(answer.error().kind, Kind::refused) << answer.error().text;
            continue;
        }
        EXPECT_FALSE(answer->ended);
        ++cut;
    }
}

TEST_F(SshLinkTest, a_refused_channel_is_told_and_the_session_lives_on) {
    twins::Sshd::Setup setup;
    setup.more = {"MaxSessions 0"};
    start(setup);
    const auto link = connected();
    for (int round = 0; round < 2; ++round) {
        const auto answer = ask(*link, "tell planes");
        ASSERT_FALSE(answer);
        EXPECT_EQ(answer.error().kind, Kind::refused);
        EXPECT_THAT(answer.error().text, HasSubstr("127.0.0.1:" + std::to_string(sshd_->port())));
        EXPECT_TRUE(link->connected());
    }
}

TEST_F(SshLinkTest, parallel_queries_keep_their_answers_apart) {
    start();
    Limits limits{ample};
    limits.parallel = 8;
    const auto link = connected(limits);
    std::vector<asio::awaitable<tl::expected<Answer, LinkError>>> asks;
    for (int i = 0; i < 8; ++i) {
        // Each is longer than one packet and ends with a status of its own.
        std::ostringstream command;
        command << "seq " << i << "0000 " << i << "9999; echo e" << i << " >&2; exit " << i;
        asks.push_back(link->ask(approved(command.str())));
    }
    const auto answers = run_all(loop_, std::move(asks));
    for (int i = 0; i < 8; ++i) {
        const auto& answer = answers[static_cast<std::size_t>(i)];
        ASSERT_TRUE(answer) << answer.error().text;
        std::string expected;
        for (int line = i * 10'000; line < (i + 1) * 10'000; ++line) {
            expected.append(std::to_string(line)).append("\n");
        }
        EXPECT_EQ(answer->bytes, expected);
        EXPECT_EQ(answer->errors, std::string("e").append(std::to_string(i)).append("\n"));
        EXPECT_EQ(answer->exit_status, i);
    }
}

TEST_F(SshLinkTest, more_queries_at_once_than_the_profile_allows_is_misuse) {
    start();
    const auto link = connected();
    std::vector<asio::awaitable<tl::expected<Answer, LinkError>>> asks;
    asks.push_back(link->ask(approved("echo one")));
    asks.push_back(link->ask(approved("echo two")));
    const auto answers = run_all(loop_, std::move(asks));
    EXPECT_TRUE(answers[0]);
    ASSERT_FALSE(answers[1]);
    EXPECT_EQ(answers[1].error().kind, Kind::misuse);
}

TEST_F(SshLinkTest, asking_without_a_session_is_misuse) {
    start();
    const auto link = link_to(target_of(*sshd_));
    const auto answer = ask(*link, "echo one");
    ASSERT_FALSE(answer);
    EXPECT_EQ(answer.error().kind, Kind::misuse);
}

TEST_F(SshLinkTest, a_session_that_the_server_kills_in_mid_answer_is_lost_and_can_be_opened_again) {
    start();
    const auto link = connected();
    // The parent of the command is the server's process of this session.
    const auto answer = ask(*link, "seq 1 10000; kill -9 $PPID; exec cat");
    ASSERT_FALSE(answer);
    EXPECT_EQ(answer.error().kind, Kind::session_lost);
    EXPECT_THAT(answer.error().text, HasSubstr("router session lost"));
    EXPECT_FALSE(link->connected());
    const auto after = ask(*link, "echo no");
    ASSERT_FALSE(after);
    EXPECT_EQ(after.error().kind, Kind::session_lost);
    ASSERT_TRUE(run(loop_, link->connect()));
    EXPECT_TRUE(ask(*link, "echo back"));
}

TEST_F(SshLinkTest, an_idle_session_notices_that_the_server_is_gone) {
    start();
    const auto link = connected();
    EXPECT_GE(sshd_->kill_sessions(), 1u);
    EXPECT_TRUE(run_until(loop_, [&] { return !link->connected(); }));
}

TEST_F(SshLinkTest, closing_ends_what_is_under_way) {
    start();
    const auto link = connected();
    std::optional<tl::expected<Answer, LinkError>> answer;
    asio::co_spawn(loop_, link->ask(approved("echo begun; exec cat")),
                   [&](std::exception_ptr, tl::expected<Answer, LinkError> value) {
                       answer = std::move(value);
                   });
    loop_.restart();
    for (int turn = 0; turn < 5; ++turn) {
        loop_.run_one();
    }
    ASSERT_FALSE(answer);
    link->close();
    ASSERT_TRUE(run_until(loop_, [&] { return answer.has_value(); }));
    ASSERT_FALSE(*answer);
    EXPECT_EQ(answer->error().kind, Kind::session_lost);
    EXPECT_THAT(answer->error().text, HasSubstr("closed by us"));
}

TEST_F(SshLinkTest, closing_at_any_turn_of_a_session_ends_it_and_leaks_nothing) {
    start();
    ASSERT_TRUE(ask(*connected(), "echo warm"));
    finish(loop_);
    const auto before = open_descriptors();
    bool reached_the_end = false;
    for (int turns = 1; !reached_the_end; ++turns) {
        const auto link = link_to(target_of(*sshd_));
        std::optional<bool> whole;
        const auto session = [](Link& over) -> asio::awaitable<bool> {
            if (!co_await over.connect()) {
                co_return false;
            }
            auto query = approved("echo whole");
            const auto answer = co_await over.ask(std::move(query));
            co_return answer && answer->ended;
        };
        asio::co_spawn(loop_, session(*link),
                       [&whole](std::exception_ptr, bool value) { whole = value; });
        loop_.restart();
        for (int turn = 0; turn < turns && !whole; ++turn) {
            loop_.run_one();
        }
        reached_the_end = whole.has_value();
        link->close();
        EXPECT_TRUE(run_until(loop_, [&] { return whole.has_value(); }));
        EXPECT_TRUE(*whole || !reached_the_end);
        EXPECT_FALSE(link->connected());
        finish(loop_);
        ASSERT_EQ(open_descriptors(), before) << "closed after " << turns << " turns";
    }
}

TEST_F(SshLinkTest, cancelling_an_ask_gives_its_channel_back) {
    twins::Sshd::Setup setup;
    setup.more = {"MaxSessions 2"};
    start(setup);
    Limits limits{ample};
    limits.longest_answer = 1 << 30; // so that there is always a next turn
    const auto link = connected(limits);
    for (int turns = 1; turns < 30; ++turns) {
        asio::cancellation_signal signal;
        bool over = false;
        asio::co_spawn(
            loop_, link->ask(approved("yes")),
            asio::bind_cancellation_slot(
                signal.slot(), [&over](std::exception_ptr, tl::expected<Answer, LinkError> answer) {
                    over = true;
                    EXPECT_FALSE(answer);
                }));
        loop_.restart();
        for (int turn = 0; turn < turns && !over; ++turn) {
            loop_.run_one();
        }
        signal.emit(asio::cancellation_type::terminal);
        ASSERT_TRUE(run_until(loop_, [&] { return over; }));
        auto answer = ask(*link, "echo fine");
        while (!answer && answer.error().kind == Kind::refused) { // until the command has died
            answer = ask(*link, "echo fine");
        }
        ASSERT_TRUE(answer) << answer.error().text << ", cancelled after " << turns << " turns";
        EXPECT_EQ(answer->bytes, "fine\n");
    }
}

TEST_F(SshLinkTest, the_link_may_go_while_a_query_is_under_way) {
    start();
    auto link = connected();
    bool over = false;
    asio::co_spawn(loop_, link->ask(approved("exec cat")),
                   [&over](std::exception_ptr, tl::expected<Answer, LinkError> answer) {
                       over = true;
                       ASSERT_FALSE(answer);
                       EXPECT_EQ(answer.error().kind, Kind::session_lost);
                   });
    loop_.restart();
    loop_.run_one();
    link.reset();
    EXPECT_TRUE(run_until(loop_, [&] { return over; }));
}

TEST_F(SshLinkTest, the_loop_may_go_while_a_query_is_under_way) {
    start();
    const auto before = open_descriptors();
    {
        asio::io_context loop;
        const auto link = make_ssh_link(loop.get_executor(), target_of(*sshd_), {ample});
        ASSERT_TRUE(run(loop, link->connect()));
        asio::co_spawn(loop, link->ask(approved("exec cat")),
                       [](std::exception_ptr, tl::expected<Answer, LinkError>) {
                           FAIL() << "nobody runs the loop";
                       });
        loop.restart();
        loop.run_one();
        link->close();
    }
    EXPECT_EQ(open_descriptors(), before);
}

TEST_F(SshLinkTest, libssh_writes_nothing_to_standard_error) {
    start();
    auto target = target_of(*sshd_);
    target.key_file = sshd_->other_key_file();
    const auto link = link_to(target);
    ::testing::internal::CaptureStderr();
    const auto result = run(loop_, link->connect());
    EXPECT_THAT(::testing::internal::GetCapturedStderr(), IsEmpty());
    EXPECT_FALSE(result);
}

} // namespace
} // namespace slotwitness::links::test
