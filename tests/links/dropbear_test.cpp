#include "support.hpp"
#include "ways.hpp"

#include <slotwitness/twins/dropbear.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

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
        setup.profile = "PS1='edge-7> '\n";
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
