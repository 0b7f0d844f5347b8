#include "connect_fixture.hpp"

#include <slotwitness/links/refusal.hpp>
#include <slotwitness/twins/folder.hpp>

#include <boost/asio/detached.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <gmock/gmock.h>

namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;
using asio::ip::tcp;
using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

/// How a family of ours says it.
const profiles::Refusals words{{"not for this account"},
                               {"nobody decides about logins"},
                               {"every seat is taken", "Exceeded MaxStartups"},
                               {"this account is shut", "Too many authentication failures"}};

class RefusalTest : public ConnectTest {
  protected:
    /// What the server says before it lets anybody in (RFC 4252, section 5.4).
    void start_with_banner(const std::string& text, std::vector<std::string> more = {}) {
        std::ofstream(folder_.path() / "banner") << text << '\n';
        twins::Sshd::Setup setup;
        setup.more = std::move(more);
        setup.more.push_back("Banner " + folder_.file("banner"));
        start(std::move(setup));
        target_.refusals = words;
    }

    twins::Folder folder_;
};

TEST_F(RefusalTest, a_locked_account_is_told_from_a_wrong_key_by_the_devices_words) {
    start_with_banner("Note: This account is SHUT since Monday.");
    target_.key_file = sshd_->other_key_file();
    EXPECT_THAT(text_of_failure(Kind::locked),
                AllOf(HasSubstr(place()), HasSubstr("says \"this account is shut\""),
                      HasSubstr("have it unlocked"), Not(HasSubstr("Monday"))));
}

TEST_F(RefusalTest, a_server_of_accounts_that_is_not_reached_is_no_refused_key) {
    start_with_banner("Nobody decides about logins at present.");
    target_.key_file = sshd_->other_key_file();
    EXPECT_THAT(text_of_failure(Kind::aaa), HasSubstr("restore the way from the device to it"));
}

TEST_F(RefusalTest, words_of_a_refusal_beside_a_login_that_succeeds_refuse_nothing) {
    start_with_banner("every seat is taken");
    const auto connected = connect();
    EXPECT_TRUE(connected) << connected.error().text;
}

TEST_F(RefusalTest, other_words_leave_it_a_refused_key) {
    start_with_banner("Be welcome.");
    target_.key_file = sshd_->other_key_file();
    EXPECT_THAT(text_of_failure(Kind::credential), HasSubstr("enter its public key"));
}

// OpenSSH's own words on taking leave (RFC 4253, section 11.1).
TEST_F(RefusalTest, the_words_of_a_leave_taking_count_too) {
    start_with_banner("", {"MaxAuthTries 1"});
    target_.key_file = sshd_->other_key_file();
    EXPECT_THAT(text_of_failure(Kind::locked), HasSubstr("Too many authentication failures"));
}

// OpenSSH says this in the place of its greeting (RFC 4253, section 4.2 allows it).
TEST_F(RefusalTest, no_free_line_may_be_said_before_the_greeting) {
    start_with_banner("", {"MaxStartups 1"});
    tcp::socket first(loop_);
    // The connection that waited for the server may be counted still: then this one is turned away.
    for (char greeting = 0; greeting != 'S';) {
        first = tcp::socket(loop_);
        first.connect({asio::ip::address_v4::loopback(), target_.port});
        static_cast<void>(first.receive(asio::buffer(&greeting, 1)));
    }
    EXPECT_THAT(text_of_failure(Kind::no_line),
                AllOf(HasSubstr("all sessions that the device grants are in use"),
                      HasSubstr("Exceeded MaxStartups")));
}

TEST_F(RefusalTest, a_command_that_is_not_allowed_is_told_as_such_and_its_answer_is_kept) {
    twins::Sshd::Setup setup;
    setup.forced_command =
        "case $SSH_ORIGINAL_COMMAND in out) echo Not for this account;; "
        "err) echo Not for this account >&2;; aaa) echo nobody decides about logins;; "
        "fine) echo not for this account; exit 0;; *) echo odd;; esac; exit 1";
    start(std::move(setup));
    target_.refusals = words;
    ASSERT_TRUE(connect());
    const auto why = [this](const std::string& command) {
        const auto answer = run(loop_, link_->ask(approved(command)));
        EXPECT_TRUE(answer && answer->ended);
        EXPECT_NE(answer->bytes + answer->errors, "");
        return why_not_whole(*answer);
    };
    EXPECT_THAT(why("out"), HasSubstr("not allowed this"));
    EXPECT_THAT(why("err"), HasSubstr("not allowed this"));
    EXPECT_THAT(why("aaa"), HasSubstr("does not reach the server"));
    EXPECT_THAT(why("other"), HasSubstr("exit status 1"));
    EXPECT_EQ(why("fine"), "") << "the exit status says that it is an answer";
}

TEST(Refusal, in_a_shell_a_short_answer_with_the_words_is_a_refusal) {
    EXPECT_THAT(refused_shell_answer(words, "not for this account\r\n"), HasSubstr("not allowed"));
    EXPECT_EQ(refused_shell_answer(words, "FAB3 running\r\n"), "");
    EXPECT_EQ(refused_shell_answer(words, "1\r\n2\r\n3\r\nnot for this account\r\n"), "");
}

// RFC 4254, section 5.1: SSH_OPEN_RESOURCE_SHORTAGE is 4.
TEST(Refusal, a_shortage_of_channels_is_no_free_line) {
    const auto why = [](const std::string& complaint) {
        const auto told = refused_channel("edge-7", words, complaint);
        return told ? std::optional(told->kind) : std::nullopt;
    };
    EXPECT_EQ(why("Channel opening failure: channel 43 error (4) none"), Kind::no_line);
    EXPECT_EQ(why("Channel opening failure: channel 43 error (1) no"), std::nullopt);
    EXPECT_EQ(why("Channel opening failure: channel 43 error (1) every seat is taken"),
              Kind::no_line);
    EXPECT_EQ(why("every seat is taken"), std::nullopt) << "it is about something else";
    EXPECT_EQ(why(""), std::nullopt);
}

// OpenSSH says SSH_OPEN_CONNECT_FAILED, which is 2, and "open failed", where its MaxSessions are in
// use: by the code alone that could be anything, so the profile must have its words.
TEST_F(RefusalTest, of_a_channel_without_the_code_counts_by_the_profiles_words) {
    twins::Sshd::Setup setup;
    setup.more = {"MaxSessions 1"};
    for (const auto& [lines, kind] :
         {std::pair{std::vector<std::string>{}, Kind::refused},
          std::pair{std::vector<std::string>{"open failed"}, Kind::no_line}}) {
        start(setup);
        target_.refusals = {{}, {}, lines, {}};
        Limits limits{units::Duration(120'000)};
        limits.parallel = 2;
        link_ = make_ssh_link(loop_.get_executor(), target_, limits);
        ASSERT_TRUE(run(loop_, link_->connect()));
        // One query holds the one place.
        asio::co_spawn(loop_, link_->ask(approved("cat")), asio::detached);
        const auto refused = run(loop_, link_->ask(approved("true")));
        ASSERT_FALSE(refused);
        EXPECT_EQ(to_word(refused.error().kind), to_word(kind)) << refused.error().text;
        EXPECT_TRUE(link_->connected());
        link_->close();
        finish(loop_);
    }
}

} // namespace
} // namespace slotwitness::links::test
