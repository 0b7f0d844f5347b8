#include "connect_fixture.hpp"

#include <slotwitness/twins/child.hpp>

#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/steady_timer.hpp>
#include <gmock/gmock.h>

#include <csignal>
#include <filesystem>
#include <sys/wait.h>

namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;
using asio::local::stream_protocol;
using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

/// OpenSSH's own agent, on a socket of the server's folder.
class AgentTest : public ConnectTest {
  protected:
    void start_with_agent(twins::Sshd::Setup setup = {}) {
        start(std::move(setup));
        socket_ = sshd_->directory() / "agent";
        const auto process = twins::start_until({"/usr/bin/ssh-agent", "-D", "-a", socket_},
                                                socket_, sshd_->directory() / "agent.output");
        ASSERT_TRUE(process);
        process_ = *process;
        target_.agent = socket_;
        target_.key_file = sshd_->key_file() + ".pub";
    }
    void TearDown() override {
        if (process_ > 0) {
            ::kill(process_, SIGKILL);
            ::waitpid(process_, nullptr, 0);
        }
    }
    void let_it_hold(const std::string& key_file) const {
        twins::output_of({"env", "SSH_AUTH_SOCK=" + socket_, "ssh-add", "-q", key_file});
    }

    std::string socket_;
    pid_t process_ = -1;
};

TEST_F(AgentTest, the_key_that_an_agent_holds_lets_us_in) {
    start_with_agent();
    let_it_hold(sshd_->key_file());
    std::filesystem::remove(sshd_->key_file()); // nobody can read it any more
    const auto connected = connect();
    ASSERT_TRUE(connected) << connected.error().text << sshd_->log();
    const auto answer = run(loop_, link_->ask(approved("echo in")));
    ASSERT_TRUE(answer) << answer.error().text;
    EXPECT_EQ(answer->bytes, "in\n");
}

TEST_F(AgentTest, an_rsa_key_of_an_agent_signs_as_current_servers_want_it) {
    start_with_agent();
    const std::string key = sshd_->directory() / "rsa";
    twins::put_rsa_key(key);
    std::filesystem::copy_file(key + ".pub", sshd_->directory() / "authorized_keys",
                               std::filesystem::copy_options::overwrite_existing);
    let_it_hold(key);
    target_.key_file = key + ".pub";
    const auto connected = connect();
    EXPECT_TRUE(connected) << connected.error().text << sshd_->log();
}

TEST_F(AgentTest, no_other_key_of_the_agent_is_offered_to_the_device) {
    twins::Sshd::Setup setup;
    setup.more = {"MaxAuthTries 1"};
    start_with_agent(std::move(setup));
    let_it_hold(sshd_->other_key_file()); // a first refusal would end the session
    let_it_hold(sshd_->key_file());
    const auto connected = connect();
    EXPECT_TRUE(connected) << connected.error().text << sshd_->log();
    EXPECT_THAT(sshd_->log(), Not(HasSubstr("Failed publickey")));
}

TEST_F(AgentTest, a_key_that_the_device_does_not_let_in_is_a_matter_of_the_credential) {
    start_with_agent();
    let_it_hold(sshd_->other_key_file());
    target_.key_file = sshd_->other_key_file() + ".pub";
    EXPECT_THAT(text_of_failure(Kind::credential),
                AllOf(HasSubstr(target_.key_file), HasSubstr("was refused")));
}

TEST_F(AgentTest, an_agent_without_the_key_is_ours_to_mend) {
    start_with_agent();
    let_it_hold(sshd_->other_key_file());
    EXPECT_THAT(text_of_failure(Kind::own_files),
                AllOf(HasSubstr(socket_), HasSubstr("ssh-add"), HasSubstr(target_.key_file)));
}

TEST_F(AgentTest, an_agent_that_is_not_there_is_named_before_anybody_is_bothered) {
    start();
    target_.agent = sshd_->directory() / "no_agent";
    target_.key_file = sshd_->key_file() + ".pub";
    EXPECT_THAT(text_of_failure(Kind::own_files), HasSubstr("no_agent"));
    EXPECT_THAT(sshd_->log(), Not(HasSubstr("Connection from 127.0.0.1 port 1")));
}

TEST_F(AgentTest, a_private_key_in_the_place_of_the_public_half_is_refused) {
    start_with_agent();
    target_.key_file = sshd_->key_file();
    EXPECT_THAT(text_of_failure(Kind::own_files), HasSubstr("not the public half"));
}

/// Takes connections, and says nothing ever.
class DeafAgentTest : public ConnectTest {
  protected:
    void start_deaf() {
        start();
        target_.agent = sshd_->directory() / "deaf";
        target_.key_file = sshd_->key_file() + ".pub";
        deaf_.emplace(loop_, stream_protocol::endpoint(target_.agent));
    }
    std::optional<stream_protocol::acceptor> deaf_;
};

TEST_F(DeafAgentTest, it_holds_up_neither_the_loop_nor_the_time_out) {
    start_deaf();
    target_.connect_timeout = units::Duration(1'000);
    int ticks = 0;
    asio::steady_timer tick(loop_);
    std::function<void(const boost::system::error_code&)> again = [&](const auto& error) {
        if (error)
            return;
        ++ticks;
        tick.expires_after(std::chrono::milliseconds(1));
        tick.async_wait(again);
    };
    again({});
    EXPECT_THAT(text_of_failure(Kind::own_files),
                AllOf(HasSubstr(target_.agent), HasSubstr("does not answer")));
    EXPECT_GT(ticks, 10) << "the loop went on while the agent was asked";
}

TEST_F(DeafAgentTest, closing_the_link_does_not_wait_for_it) {
    start_deaf();
    // It is asked once the device has said that it would take the key.
    std::optional<stream_protocol::socket> asked;
    std::array<char, 1> first{};
    deaf_->async_accept([&](const auto&, stream_protocol::socket socket) {
        asked.emplace(std::move(socket));
        asked->async_receive(asio::buffer(first),
                             [this](const auto&, std::size_t) { link_->close(); });
    });
    const auto connected = connect();
    ASSERT_FALSE(connected);
    EXPECT_FALSE(link_->connected());
}

} // namespace
} // namespace slotwitness::links::test
