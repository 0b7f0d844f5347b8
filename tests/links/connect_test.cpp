#include "connect_fixture.hpp"

#include <boost/asio/ip/tcp.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;
using asio::ip::tcp;
using ::testing::AllOf;
using ::testing::HasSubstr;

TEST_F(ConnectTest, an_unreachable_host_is_named_with_the_reason) {
    start();
    sshd_->stop();
    const auto text = text_of_failure(Kind::unreachable);
    EXPECT_THAT(text, HasSubstr(place()));
    EXPECT_THAT(text, HasSubstr("Connection refused"));
}

TEST_F(ConnectTest, a_name_that_does_not_resolve_is_unreachable) {
    start();
    target_.host = "chassis.invalid"; // RFC 6761, section 6.4: never resolves
    EXPECT_THAT(text_of_failure(Kind::unreachable), HasSubstr("chassis.invalid"));
}

TEST_F(ConnectTest, every_address_of_a_name_is_tried) {
    start();
    target_.host =
        "localhost"; // ::1 and 127.0.0.1 on most machines; the server has the latter only
    write_known_hosts("[localhost]:" + std::to_string(target_.port) + " " +
                      host_key_line("ed25519"));
    const auto result = connect();
    EXPECT_TRUE(result) << result.error().text;
}

TEST_F(ConnectTest, a_server_that_never_greets_runs_into_the_time_out) {
    start();
    tcp::acceptor silent(loop_, {asio::ip::address_v4::loopback(), 0});
    target_.port = silent.local_endpoint().port();
    target_.connect_timeout = units::Duration(300);
    const auto text = text_of_failure(Kind::timed_out);
    EXPECT_THAT(text, HasSubstr(place()));
    EXPECT_THAT(text, HasSubstr("greeting"));
}

TEST_F(ConnectTest, a_server_that_hangs_up_before_greeting_is_told) {
    start();
    tcp::acceptor rude(loop_, {asio::ip::address_v4::loopback(), 0});
    target_.port = rude.local_endpoint().port();
    rude.async_accept([](const auto&, tcp::socket) {});
    EXPECT_THAT(text_of_failure(Kind::session_lost), HasSubstr("before the SSH greeting"));
}

TEST_F(ConnectTest, a_server_that_speaks_another_protocol_is_no_session) {
    start();
    tcp::acceptor other(loop_, {asio::ip::address_v4::loopback(), 0});
    target_.port = other.local_endpoint().port();
    std::optional<tcp::socket> peer;
    other.async_accept([&peer](const auto&, tcp::socket socket) {
        peer = std::move(socket);
        peer->send(asio::buffer(std::string(100'000, 'x')));
    });
    const auto result = connect();
    ASSERT_FALSE(result);
    EXPECT_THAT(result.error().text, HasSubstr(place()));
}

TEST_F(ConnectTest, a_wrong_key_is_a_matter_of_the_credential) {
    start();
    target_.key_file = sshd_->other_key_file();
    const auto text = text_of_failure(Kind::credential);
    EXPECT_THAT(text, HasSubstr(place()));
    EXPECT_THAT(text, HasSubstr(target_.key_file));
    EXPECT_THAT(text, HasSubstr("refused"));
}

TEST_F(ConnectTest, an_account_that_needs_more_than_a_key_is_told) {
    twins::Sshd::Setup setup;
    setup.more = {"PasswordAuthentication yes", "AuthenticationMethods publickey,password"};
    start(setup);
    EXPECT_THAT(text_of_failure(Kind::credential), HasSubstr("more than a key"));
}

TEST_F(ConnectTest, a_missing_key_file_is_named) {
    start();
    target_.key_file = sshd_->directory() / "no_such_key";
    EXPECT_THAT(text_of_failure(Kind::own_files),
                ::testing::AllOf(HasSubstr("no_such_key"), HasSubstr("No such file")));
}

TEST_F(ConnectTest, a_file_that_is_no_key_is_named) {
    start();
    target_.key_file = sshd_->known_hosts_file();
    EXPECT_THAT(text_of_failure(Kind::own_files), HasSubstr("not a private key"));
}

TEST_F(ConnectTest, a_key_with_a_passphrase_is_refused_without_asking_for_it) {
    start();
    const auto openssh_form = sshd_->directory() / "locked";
    twins::output_of({"ssh-keygen", "-q", "-t", "ed25519", "-N", "secret", "-f", openssh_form});
    const auto pem_form = sshd_->directory() / "locked_pem";
    twins::put_rsa_key(pem_form);
    twins::output_of(
        {"ssh-keygen", "-q", "-p", "-m", "PEM", "-P", "", "-N", "secret", "-f", pem_form});
    for (const auto& file : {openssh_form, pem_form}) {
        target_.key_file = file;
        EXPECT_THAT(text_of_failure(Kind::own_files), HasSubstr("passphrase")) << file;
    }
}

TEST_F(ConnectTest, keys_in_either_form_are_read) {
    start();
    for (const auto& form : {"RFC4716", "PEM"}) {
        const auto file = sshd_->directory() / (std::string("form_") + form);
        twins::put_rsa_key(file);
        twins::output_of({"ssh-keygen", "-q", "-p", "-m", form, "-P", "", "-N", "", "-f", file});
        std::ifstream key(file.string() + ".pub");
        std::ofstream(sshd_->directory() / "authorized_keys") << key.rdbuf();
        target_.key_file = file;
        const auto result = connect();
        EXPECT_TRUE(result) << form << ": " << result.error().text;
    }
}

TEST_F(ConnectTest, an_unknown_host_key_is_refused_with_the_fingerprint_that_ssh_keygen_prints) {
    start();
    write_known_hosts("");
    const auto text = text_of_failure(Kind::host_key);
    EXPECT_THAT(text, HasSubstr(place()));
    EXPECT_THAT(text, HasSubstr(" " + fingerprint_by_ssh_keygen("ed25519") + " "));
    EXPECT_THAT(text, HasSubstr("not in " + target_.known_hosts));
}

TEST_F(ConnectTest, a_changed_host_key_is_refused_with_the_fingerprint_that_ssh_keygen_prints) {
    start();
    ASSERT_TRUE(connect());
    const auto old_fingerprint = fingerprint_by_ssh_keygen("ed25519");
    sshd_->start_again(true);
    const auto log_before = sshd_->log().size();
    const auto text = text_of_failure(Kind::host_key);
    EXPECT_NE(fingerprint_by_ssh_keygen("ed25519"), old_fingerprint);
    EXPECT_THAT(text, HasSubstr(fingerprint_by_ssh_keygen("ed25519")));
    EXPECT_THAT(text, HasSubstr("has changed"));
    // Refused before authentication: the server, started anew, let nobody in.
    EXPECT_THAT(sshd_->log().substr(log_before), Not(HasSubstr("Accepted publickey")));
}

TEST_F(ConnectTest, a_revoked_host_key_is_refused) {
    start();
    const auto name = "[127.0.0.1]:" + std::to_string(target_.port) + " ";
    write_known_hosts(name + host_key_line("ed25519") + "\n@revoked " + name +
                      host_key_line("ed25519") + "\n");
    EXPECT_THAT(text_of_failure(Kind::host_key), HasSubstr("revoked"));
}

TEST_F(ConnectTest, a_bad_line_in_the_store_is_named_and_nothing_is_trusted) {
    start();
    write_known_hosts("[127.0.0.1]:" + std::to_string(target_.port) + " " +
                      host_key_line("ed25519") + "\n*.example.net ssh-ed25519 AAAA\n");
    EXPECT_THAT(text_of_failure(Kind::host_key), HasSubstr(target_.known_hosts + ":2:1"));
}

TEST_F(ConnectTest, a_server_with_several_host_keys_is_asked_for_the_one_that_is_known) {
    twins::Sshd::Setup setup;
    setup.host_key_types = {"ed25519", "ecdsa", "rsa"};
    start(setup);
    for (const auto* type : {"ed25519", "ecdsa", "rsa"}) {
        write_known_hosts("[127.0.0.1]:" + std::to_string(target_.port) + " " +
                          host_key_line(type));
        const auto result = connect();
        EXPECT_TRUE(result) << type << ": " << result.error().text;
    }
}

TEST_F(ConnectTest, a_host_whose_name_is_hashed_by_ssh_keygen_is_known) {
    start();
    write_known_hosts("[127.0.0.1]:" + std::to_string(target_.port) + " " +
                      host_key_line("ed25519") + "\n");
    ::testing::internal::CaptureStderr(); // it warns about the copy that it leaves
    twins::output_of({"ssh-keygen", "-q", "-H", "-f", target_.known_hosts});
    static_cast<void>(::testing::internal::GetCapturedStderr());
    std::ifstream hashed(target_.known_hosts);
    EXPECT_EQ(hashed.get(), '|');
    const auto result = connect();
    EXPECT_TRUE(result) << result.error().text;
}

TEST_F(ConnectTest, a_server_with_old_algorithms_only_is_refused_and_ours_are_named) {
    twins::Sshd::Setup setup;
    setup.more = {"KexAlgorithms diffie-hellman-group14-sha1"};
    start(setup);
    EXPECT_THAT(text_of_failure(Kind::session_lost),
                AllOf(HasSubstr("name under \"algorithms\""),
                      HasSubstr("offered were curve25519-sha256,")));
}

} // namespace
} // namespace slotwitness::links::test
