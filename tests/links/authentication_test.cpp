#include "connect_fixture.hpp"

#include <gmock/gmock.h>

#include <filesystem>

namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;
using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

const std::string our_password = "correct horse";

class AuthenticationTest : public ConnectTest {
  protected:
    /// A server that takes the password by this method.
    void start_with_password(const std::string& method, std::vector<std::string> more = {}) {
        twins::Sshd::Setup setup;
        setup.password = our_password;
        setup.more = std::move(more);
        setup.more.push_back("PermitRootLogin yes");
        setup.more.push_back(method + " yes");
        start(std::move(setup));
        target_.key_file.clear();
    }
    void SetUp() override {
        if (const auto missing = twins::Sshd::missing_passwords())
            GTEST_SKIP() << *missing;
        ConnectTest::SetUp();
    }
    [[nodiscard]] std::string secret(const std::string& text) const {
        const std::string file = sshd_->directory() / "secret";
        std::ofstream(file) << text;
        std::filesystem::permissions(file, std::filesystem::perms::owner_read |
                                               std::filesystem::perms::owner_write);
        return file;
    }
};

// The methods of RFC 4256 and RFC 4252, section 8, with a server that nobody here wrote.
const std::vector<std::string> methods{"KbdInteractiveAuthentication", "PasswordAuthentication"};

TEST_F(AuthenticationTest, the_password_of_a_file_lets_us_in_by_either_method) {
    for (const std::string& method : methods) {
        start_with_password(method);
        target_.password_file = secret(our_password + "\n");
        const auto connected = connect();
        ASSERT_TRUE(connected) << method << ": " << connected.error().text << sshd_->log();
        const auto answer = run(loop_, link_->ask(approved("echo in")));
        ASSERT_TRUE(answer);
        EXPECT_EQ(answer->bytes, "in\n");
    }
}

TEST_F(AuthenticationTest, a_wrong_password_is_told_once_and_stands_in_no_message) {
    for (const std::string& method : methods) {
        start_with_password(method);
        target_.password_file = secret("wrong horse");
        EXPECT_THAT(text_of_failure(Kind::credential),
                    AllOf(HasSubstr("the password in " + target_.password_file + " was refused"),
                          HasSubstr("locks the account"), Not(HasSubstr("horse"))))
            << method;
        const std::string log = sshd_->log();
        std::size_t failures = 0;
        for (std::size_t at = log.find("Failed "); at != std::string::npos;
             at = log.find("Failed ", at + 1))
            failures += log.compare(at, 11, "Failed none") != 0;
        EXPECT_LE(failures, 1u) << log;
    }
}

TEST_F(AuthenticationTest, a_key_and_a_password_are_given_where_the_device_wants_both) {
    start_with_password("KbdInteractiveAuthentication",
                        {"AuthenticationMethods publickey,keyboard-interactive"});
    target_.key_file = sshd_->key_file();
    target_.password_file = secret(our_password);
    const auto connected = connect();
    EXPECT_TRUE(connected) << connected.error().text << sshd_->log();
    target_.password_file.clear();
    EXPECT_THAT(text_of_failure(Kind::credential),
                HasSubstr("is asked for more than a key; let the account in by key alone, or name "
                          "the file with its password"));
}

TEST_F(AuthenticationTest, a_refused_key_is_not_followed_by_a_password) {
    start_with_password("PasswordAuthentication");
    target_.key_file = sshd_->other_key_file();
    target_.password_file = secret(our_password);
    EXPECT_THAT(text_of_failure(Kind::credential), HasSubstr("was refused"));
    EXPECT_THAT(sshd_->log(), Not(HasSubstr("password for")));
}

TEST_F(AuthenticationTest, a_device_that_takes_no_password_says_what_it_takes) {
    twins::Sshd::Setup setup;
    start(std::move(setup));
    target_.key_file.clear();
    target_.password_file = secret(our_password);
    EXPECT_THAT(text_of_failure(Kind::credential),
                HasSubstr("takes no password (it offers publickey)"));
}

TEST_F(AuthenticationTest, a_key_with_a_passphrase_is_opened_by_that_of_a_file) {
    start();
    for (const std::string form : {"RFC4716", "PEM"}) {
        const std::string locked = sshd_->directory() / ("locked_" + form);
        twins::output_of({"cp", sshd_->key_file(), locked});
        if (form == "PEM") { // OpenSSH writes ed25519 in its own form only
            twins::put_rsa_key(locked);
            std::ifstream key(locked + ".pub");
            std::ofstream(sshd_->directory() / "authorized_keys", std::ios::app) << key.rdbuf();
        }
        twins::output_of(
            {"ssh-keygen", "-q", "-p", "-m", form, "-P", "", "-N", our_password, "-f", locked});
        target_.key_file = locked;
        target_.passphrase_file = secret(our_password);
        const auto connected = connect();
        EXPECT_TRUE(connected) << form << connected.error().text;
        target_.passphrase_file = secret("wrong horse");
        EXPECT_THAT(text_of_failure(Kind::own_files),
                    AllOf(HasSubstr("does not open it"), Not(HasSubstr("horse"))));
    }
}

TEST_F(AuthenticationTest, a_secret_that_others_may_read_is_refused) {
    start();
    target_.key_file.clear();
    const auto with = [&](const std::string& text, const std::string& mode) {
        target_.password_file = secret(text);
        twins::output_of({"chmod", mode, target_.password_file});
        return text_of_failure(Kind::own_files);
    };
    EXPECT_THAT(with(our_password, "0604"), HasSubstr("others than its owner"));
    EXPECT_THAT(with(our_password, "0620"), HasSubstr("others than its owner"));
    EXPECT_THAT(with("", "0600"), HasSubstr("first line is empty"));
    EXPECT_THAT(with(std::string(1025, 'x'), "0600"), HasSubstr("more than 1024 bytes"));
    target_.password_file = sshd_->directory() / "nothing";
    EXPECT_THAT(text_of_failure(Kind::own_files), HasSubstr("No such file"));
}

TEST_F(AuthenticationTest, a_pinned_fingerprint_is_trusted_in_the_place_of_known_hosts) {
    start();
    target_.known_hosts = "/nonexistent";
    target_.host_keys = {"SHA256:" + std::string(43, 'A'), fingerprint_by_ssh_keygen("ed25519")};
    const auto connected = connect();
    EXPECT_TRUE(connected) << connected.error().text;
    target_.host_keys.pop_back();
    EXPECT_THAT(
        text_of_failure(Kind::host_key),
        AllOf(HasSubstr(fingerprint_by_ssh_keygen("ed25519")), HasSubstr("none of host-keys")));
}

} // namespace
} // namespace slotwitness::links::test
