#include "connect_fixture.hpp"

#include <slotwitness/links/bastion.hpp>
#include <slotwitness/links/host_key.hpp>

#include <gmock/gmock.h>

// Against OpenSSH's server and ssh-keygen.
namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;
using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::UnorderedElementsAreArray;

class HostKeyTest : public ConnectTest {
  protected:
    tl::expected<std::vector<HostKey>, LinkError>
    shown(std::shared_ptr<Bastion> through = nullptr) {
        return run(loop_, show_host_keys(loop_.get_executor(), target_, std::move(through)));
    }
    /// As ssh-keygen lists the keys; it shows the comment that the file has, "test".
    [[nodiscard]] std::string listed_by_ssh_keygen(const std::string& type) const {
        auto line = twins::output_of(
            {"ssh-keygen", "-l", "-E", "sha256", "-f", sshd_->host_key_file(type)});
        line.pop_back();
        return line;
    }
    static std::vector<std::string> listed(const std::vector<HostKey>& keys) {
        std::vector<std::string> lines;
        for (const HostKey& key : keys)
            lines.push_back(key.as_listed("test"));
        return lines;
    }
};

TEST_F(HostKeyTest, each_key_is_shown_as_ssh_keygen_lists_it_and_nobody_logs_in) {
    twins::Sshd::Setup setup;
    setup.host_key_types = {"ed25519", "ecdsa", "rsa"};
    start(setup);
    target_.known_hosts = "/nonexistent";
    target_.key_file = "/nonexistent";
    const auto keys = shown();
    ASSERT_TRUE(keys) << keys.error().text;
    EXPECT_THAT(listed(*keys), UnorderedElementsAreArray({listed_by_ssh_keygen("ed25519"),
                                                          listed_by_ssh_keygen("ecdsa"),
                                                          listed_by_ssh_keygen("rsa")}));
    EXPECT_THAT(sshd_->log(), AllOf(Not(HasSubstr("Accepted")), Not(HasSubstr("Failed"))));
}

TEST_F(HostKeyTest, one_key_alone_is_shown_though_the_device_has_no_other_type) {
    twins::Sshd::Setup setup;
    setup.host_key_types = {"rsa"};
    start(setup);
    const auto keys = shown();
    ASSERT_TRUE(keys) << keys.error().text;
    EXPECT_THAT(listed(*keys), UnorderedElementsAreArray({listed_by_ssh_keygen("rsa")}));
}

TEST_F(HostKeyTest, behind_a_bastion_it_is_shown_only_if_the_bastion_is_trusted) {
    start();
    const auto jump_host = twins::Sshd::start();
    Hop hop{"b1", target_of(*jump_host)};
    Bastions bastions;
    const auto keys = shown(bastions.way(loop_.get_executor(), {hop}));
    ASSERT_TRUE(keys) << keys.error().text;
    EXPECT_THAT(listed(*keys), UnorderedElementsAreArray({listed_by_ssh_keygen("ed25519")}));
    finish(loop_);
    hop.target.host_keys = {"SHA256:" + std::string(43, 'A')};
    Bastions others;
    const auto refused = shown(others.way(loop_.get_executor(), {hop}));
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().kind, Kind::host_key);
    EXPECT_THAT(refused.error().text, HasSubstr("bastion b1 ("));
}

TEST_F(HostKeyTest, a_device_that_is_not_there_is_unreachable) {
    start();
    sshd_->stop();
    const auto keys = shown();
    ASSERT_FALSE(keys);
    EXPECT_EQ(keys.error().kind, Kind::unreachable);
}

// What an old device has, by OpenSSH's own names.
TEST_F(HostKeyTest, old_algorithms_are_used_only_where_they_are_named_and_are_told) {
    twins::Sshd::Setup setup;
    setup.host_key_types = {"rsa"};
    setup.more = {"KexAlgorithms diffie-hellman-group14-sha1", "Ciphers aes256-cbc",
                  "MACs hmac-sha1", "HostKeyAlgorithms ssh-rsa"};
    start(setup);
    EXPECT_THAT(text_of_failure(Kind::session_lost), HasSubstr("name under \"algorithms\""));
    target_.algorithms = {
        {"diffie-hellman-group14-sha1"}, {"ssh-rsa"}, {"aes256-cbc"}, {"hmac-sha1"}};
    const auto connected = connect();
    ASSERT_TRUE(connected) << connected.error().text << sshd_->log();
    ASSERT_TRUE(link_->reached());
    EXPECT_EQ(link_->reached()->agreed.key_exchange, "diffie-hellman-group14-sha1");
    EXPECT_EQ(link_->reached()->agreed.cipher_from, "aes256-cbc");
    EXPECT_EQ(link_->reached()->agreed.mac_to, "hmac-sha1");
    EXPECT_THAT(link_->reached()->agreed.weak(),
                UnorderedElementsAreArray(
                    {"diffie-hellman-group14-sha1", "ssh-rsa", "aes256-cbc", "hmac-sha1"}));
}

TEST_F(HostKeyTest, with_a_current_device_nothing_weak_is_agreed_upon) {
    start();
    ASSERT_TRUE(connect());
    ASSERT_TRUE(link_->reached());
    EXPECT_TRUE(link_->reached()->agreed.weak().empty());
    EXPECT_EQ(link_->reached()->agreed.host_key, "ssh-ed25519");
}

} // namespace
} // namespace slotwitness::links::test
