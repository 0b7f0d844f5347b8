#include "connect_fixture.hpp"

#include <boost/asio/ip/tcp.hpp>
#include <gmock/gmock.h>

#include <filesystem>

namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;
using asio::ip::tcp;
using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

/// A chassis with two controllers, each a server with a host key and an address of its own.
class ControllersTest : public ConnectTest {
  protected:
    /// 127.0.0.1 and 127.0.0.2 of one port; the account's key is the same on both.
    void start_both() {
        start();
        twins::Sshd::Setup setup;
        setup.address = "127.0.0.2";
        setup.port = target_.port;
        other_ = twins::Sshd::start(setup);
        std::filesystem::copy_file(sshd_->directory() / "authorized_keys",
                                   other_->directory() / "authorized_keys",
                                   std::filesystem::copy_options::overwrite_existing);
        target_.also_at = {"127.0.0.2"};
        write_known_hosts(at("127.0.0.1") + host_key_line("ed25519") + "\n" + at("127.0.0.2") +
                          public_key_of(*other_) + "\n");
        link_ = make_ssh_link(loop_.get_executor(), target_, {});
    }
    /// As the file of known hosts names a host.
    [[nodiscard]] std::string at(const std::string& address) const {
        return "[" + address + "]:" + std::to_string(target_.port) + " ";
    }
    [[nodiscard]] static std::string public_key_of(const twins::Sshd& sshd) {
        std::ifstream file(sshd.host_key_file("ed25519"));
        std::string line;
        std::getline(file, line);
        return line;
    }
    [[nodiscard]] std::string reached() const {
        return link_->reached() ? link_->reached()->address : "nothing";
    }
    [[nodiscard]] static std::size_t logins(const twins::Sshd& sshd) {
        const std::string log = sshd.log();
        std::size_t count = 0;
        for (std::size_t found = log.find("Accepted publickey"); found != std::string::npos;
             found = log.find("Accepted publickey", found + 1))
            ++count;
        return count;
    }
    tl::expected<void, LinkError> connect_again() { return run(loop_, link_->connect()); }

    std::unique_ptr<twins::Sshd> other_;
};

TEST_F(ControllersTest, the_first_address_is_used_while_it_answers) {
    start_both();
    ASSERT_TRUE(connect_again());
    EXPECT_EQ(reached(), "127.0.0.1:" + std::to_string(target_.port));
    EXPECT_EQ(link_->reached()->host_key, fingerprint_by_ssh_keygen("ed25519"));
    EXPECT_EQ(logins(*other_), 0U);
}

TEST_F(ControllersTest,
       where_the_first_address_is_dead_the_next_one_is_used_with_its_own_host_key) {
    start_both();
    ASSERT_TRUE(connect_again());
    sshd_->stop();
    const auto connected = connect_again();
    ASSERT_TRUE(connected) << connected.error().text;
    EXPECT_EQ(reached(), "127.0.0.2:" + std::to_string(target_.port));
    EXPECT_EQ(link_->reached()->host_key, fingerprint_of(other_->host_key_file("ed25519")));
    const auto answer = run(loop_, link_->ask(approved("echo over there")));
    ASSERT_TRUE(answer) << answer.error().text;
    EXPECT_EQ(answer->bytes, "over there\n");
}

TEST_F(ControllersTest, the_address_that_answered_last_is_tried_first) {
    start_both();
    sshd_->stop();
    ASSERT_TRUE(connect_again());
    sshd_->start_again(false);
    ASSERT_TRUE(connect_again());
    EXPECT_EQ(reached(), "127.0.0.2:" + std::to_string(target_.port));
    EXPECT_EQ(logins(*sshd_), 0U);
}

TEST_F(
    ControllersTest,
    an_address_that_takes_connections_and_never_greets_holds_the_next_one_up_for_the_time_out_alone) {
    start_both();
    sshd_->stop();
    tcp::acceptor silent(loop_, {asio::ip::make_address("127.0.0.1"), target_.port});
    target_.connect_timeout = units::Duration(300);
    link_ = make_ssh_link(loop_.get_executor(), target_, {});
    const auto connected = connect_again();
    ASSERT_TRUE(connected) << connected.error().text;
    EXPECT_EQ(reached(), "127.0.0.2:" + std::to_string(target_.port));
}

TEST_F(ControllersTest, where_no_address_answers_each_is_named_with_its_reason) {
    start_both();
    sshd_->stop();
    other_->stop();
    const auto connected = connect_again();
    ASSERT_FALSE(connected);
    EXPECT_EQ(connected.error().kind, Kind::unreachable);
    EXPECT_THAT(connected.error().text,
                AllOf(HasSubstr("cannot reach 127.0.0.1:"), HasSubstr("cannot reach 127.0.0.2:")));
}

TEST_F(ControllersTest, an_unknown_host_key_is_not_passed_over) {
    start_both();
    write_known_hosts(at("127.0.0.2") + public_key_of(*other_) + "\n");
    link_ = make_ssh_link(loop_.get_executor(), target_, {});
    const auto connected = connect_again();
    ASSERT_FALSE(connected);
    EXPECT_EQ(connected.error().kind, Kind::host_key);
    EXPECT_EQ(logins(*other_), 0U);
}

TEST_F(ControllersTest, a_refused_key_is_not_tried_at_the_other_address) {
    start_both();
    target_.key_file = sshd_->other_key_file();
    link_ = make_ssh_link(loop_.get_executor(), target_, {});
    const auto connected = connect_again();
    ASSERT_FALSE(connected);
    EXPECT_EQ(connected.error().kind, Kind::credential);
    EXPECT_THAT(other_->log(), Not(HasSubstr("publickey")));
}

TEST_F(ControllersTest, who_closes_the_link_meanwhile_ends_the_round_of_addresses) {
    start_both();
    sshd_->stop();
    tcp::acceptor silent(loop_, {asio::ip::make_address("127.0.0.1"), target_.port});
    silent.async_accept([this](const auto&, tcp::socket) { link_->close(); });
    const auto connected = connect_again();
    ASSERT_FALSE(connected);
    EXPECT_THAT(connected.error().text, HasSubstr("closed by us"));
    EXPECT_FALSE(link_->connected());
    EXPECT_EQ(logins(*other_), 0U);
}

} // namespace
} // namespace slotwitness::links::test
