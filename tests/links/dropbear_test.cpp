#include "support.hpp"
#include "ways.hpp"

#include <slotwitness/links/channel.hpp>
#include <slotwitness/links/handshake.hpp>
#include <slotwitness/twins/dropbear.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <libssh/libssh.h>

// A server of another house than OpenSSH's: Debian's dropbear-bin. What differs, as far as it
// matters to a client: it has no subsystem netconf, no account settings (so no forced command, no
// limit of sessions), rekeys after a gigabyte only, a window of 24 KB unless told otherwise, and it
// gives a command's exit status before the end of its output.

namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;
using ::testing::HasSubstr;

constexpr units::Duration all_the_time{120'000};

class DropbearServer : public ::testing::Test {
  protected:
    void SetUp() override {
        if (const auto missing = twins::Dropbear::missing())
            GTEST_SKIP() << *missing;
        ASSERT_TRUE(prepare_ssh());
    }
    void start(twins::Dropbear::Setup setup = {}) {
        setup.profile += "PS1='edge-7> '\n";
        server_ = twins::Dropbear::start(setup);
        target_.host = "127.0.0.1";
        target_.port = server_->port();
        target_.user = twins::Sshd::user();
        target_.key_file = server_->key_file();
        target_.known_hosts = server_->known_hosts_file();
    }
    std::unique_ptr<Link> connected(const Limits& limits) {
        auto link = make_ssh_link(loop_.get_executor(), target_, limits);
        const auto result = run(loop_, link->connect());
        EXPECT_TRUE(result) << result.error().text << server_->log();
        return link;
    }
    tl::expected<Answer, LinkError> ask(Link& link, const std::string& command) {
        auto query = approved(command);
        return run(loop_, link.ask(std::move(query)));
    }

    asio::io_context loop_;
    std::unique_ptr<twins::Dropbear> server_;
    Target target_;
};

TEST_F(DropbearServer, lets_us_in_by_each_kind_of_host_key_and_tells_what_was_agreed) {
    for (const std::string type : {"ed25519", "ecdsa", "rsa"}) {
        twins::Dropbear::Setup setup;
        setup.host_key_type = type;
        start(setup);
        const auto link = connected({all_the_time});
        const auto reached = link->reached();
        ASSERT_TRUE(reached);
        EXPECT_THAT(reached->agreed.host_key, HasSubstr(type));
        EXPECT_TRUE(reached->agreed.weak().empty()) << reached->agreed.weak().front();
        EXPECT_TRUE(ask(*link, "true"));
    }
}

TEST_F(DropbearServer, answers_commands_one_after_the_other_whole_with_errors_and_status) {
    start();
    const Asking asking = by_command(100'000);
    const auto link = connected({all_the_time});
    for (int round = 0; round < 3; ++round)
        expect_right(ask(*link, asking.query), asking);
}

TEST_F(DropbearServer, answers_in_its_login_shell_also_through_a_window_smaller_than_a_query) {
    twins::Dropbear::Setup setup;
    setup.more = {"-W", "16"};
    start(setup);
    Limits limits = in_a_shell(all_the_time);
    const auto link = connected(limits);
    const std::string words(200, 'x');
    for (int round = 0; round < 2; ++round) {
        const auto answer = ask(*link, "echo " + words);
        ASSERT_TRUE(answer) << answer.error().text;
        EXPECT_TRUE(answer->ended) << answer->remark;
        EXPECT_EQ(answer->bytes, words + "\r\n");
    }
}

// It closes no channel before its command has ended: RFC 4254, section 5.3, lets a side close at
// any time. A query that waits for that place in vain costs the session, and a new one is whole.
TEST_F(DropbearServer, that_keeps_a_cut_answers_channel_loses_the_session_and_gives_another) {
    start();
    Limits limits{units::Duration(1'500)};
    limits.longest_answer = 10'000;
    const auto link = connected(limits);
    const auto cut = ask(*link, "yes");
    ASSERT_TRUE(cut) << cut.error().text;
    EXPECT_FALSE(cut->ended);
    EXPECT_THAT(cut->remark, HasSubstr("in the profile"));
    const Asking asking = by_command(100);
    auto next = ask(*link, asking.query);
    ASSERT_FALSE(next);
    EXPECT_EQ(next.error().kind, Kind::timed_out);
    EXPECT_THAT(next.error().text, HasSubstr("waiting for the device to close a channel"));
    EXPECT_FALSE(link->connected());
    do {
        ASSERT_TRUE(run(loop_, link->connect()));
        next = ask(*link, asking.query);
    } while (!next || !next->ended); // on a slow machine
    expect_right(next, asking);
}

// RFC 4254, section 5.2: "the window size specifies how many bytes the other party can send before
// it must wait for the window to be adjusted", and nothing sets a time for that. Here a terminal's
// program that reads no more keeps the server's window shut in the midst of our query.
TEST_F(DropbearServer, whose_window_stays_shut_loses_the_session_for_that_and_gives_another) {
    twins::Dropbear::Setup setup;
    setup.profile = "if mkdir \"$HOME/been\"; then stty raw -echo; printf 'edge-7> '\n"
                    "head -c 1 >/dev/null; printf '\\r\\nedge-7> '; exec sleep 1000; fi\n";
    start(setup);
    const auto link = connected(in_a_shell(units::Duration(4'000)));
    constexpr std::size_t more_than_a_terminal_keeps = 200'000;
    const auto shut = ask(*link, "echo " + std::string(more_than_a_terminal_keeps, 'x'));
    ASSERT_FALSE(shut);
    EXPECT_EQ(to_word(shut.error().kind), to_word(Kind::timed_out)) << shut.error().text;
    EXPECT_THAT(shut.error().text, HasSubstr("the device's window is shut"));
    EXPECT_FALSE(link->connected());
    ASSERT_TRUE(run(loop_, link->connect()));
    const auto answer = ask(*link, "echo again");
    ASSERT_TRUE(answer) << answer.error().text;
    EXPECT_EQ(answer->bytes, "again\r\n") << answer->remark;
}

// Its own limit of channels, for which it says SSH_OPEN_RESOURCE_SHORTAGE (RFC 4254, section 5.1).
TEST_F(DropbearServer, without_room_for_another_channel_has_no_free_line) {
    start();
    const auto session =
        std::make_shared<Session>(loop_.get_executor(), place_of(target_), all_the_time);
    ASSERT_TRUE(run(loop_, establish(session, target_, nullptr)));
    const auto deadline = std::chrono::steady_clock::now() + all_the_time;
    constexpr std::size_t more_than_it_grants = 2'000;
    std::shared_ptr<Channel> newest;
    bool is_refused = false;
    while (!is_refused && session->channels_in_use() < more_than_it_grants) {
        newest = session->open_channel(1);
        std::function<int()> open = [&newest] { return newest->open(); };
        const auto opened = run(loop_, session->until(deadline, "opening", std::move(open)));
        ASSERT_TRUE(opened) << opened.error().text;
        is_refused = *opened != SSH_OK;
    }
    ASSERT_TRUE(is_refused);
    Limits limits{all_the_time};
    limits.parallel = more_than_it_grants;
    const auto none = run(loop_, exec(session, approved("echo hello"), limits));
    ASSERT_FALSE(none);
    EXPECT_EQ(to_word(none.error().kind), to_word(Kind::no_line)) << none.error().text;
    EXPECT_THAT(none.error().text, HasSubstr("no room for another channel"));
}

TEST_F(DropbearServer, refuses_a_key_that_it_does_not_know_and_has_no_netconf) {
    start();
    Limits limits{all_the_time};
    limits.by = profiles::Reach::By::netconf;
    const auto answer = ask(*connected(limits), "<x xmlns=\"urn:x\"/>");
    ASSERT_FALSE(answer);
    EXPECT_EQ(answer.error().kind, Kind::refused);
    EXPECT_THAT(answer.error().text, HasSubstr("subsystem netconf"));
    target_.key_file = server_->other_key_file();
    const auto link = make_ssh_link(loop_.get_executor(), target_, limits);
    const auto refused = run(loop_, link->connect());
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().kind, Kind::credential);
}

} // namespace
} // namespace slotwitness::links::test
