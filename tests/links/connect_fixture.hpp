#pragma once

#include "support.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

namespace slotwitness::links::test {

/// A server of its own for each test, and a link to it that is not connected yet.
class ConnectTest : public ::testing::Test {
  protected:
    void SetUp() override {
        if (const auto missing = twins::Sshd::missing()) {
            GTEST_SKIP() << *missing;
        }
        ASSERT_TRUE(prepare_ssh());
    }
    void start(twins::Sshd::Setup setup = {}) {
        sshd_ = twins::Sshd::start(std::move(setup));
        target_ = target_of(*sshd_);
    }
    tl::expected<void, LinkError> connect() {
        link_ = make_ssh_link(loop_.get_executor(), target_, {});
        return run(loop_, link_->connect());
    }
    /// Connecting fails so, and names the place.
    std::string text_of_failure(LinkError::Kind kind) {
        const auto result = connect();
        EXPECT_FALSE(result);
        if (result) {
            return "";
        }
        EXPECT_EQ(to_word(result.error().kind), to_word(kind)) << result.error().text;
        EXPECT_FALSE(link_->connected());
        return result.error().text;
    }
    [[nodiscard]] std::string place() const {
        return target_.host + ":" + std::to_string(target_.port);
    }
    /// What ssh-keygen prints for a host key: "256 SHA256:… comment (ED25519)".
    [[nodiscard]] std::string fingerprint_by_ssh_keygen(const std::string& type) const {
        return fingerprint_of(sshd_->host_key_file(type));
    }
    void write_known_hosts(const std::string& text) {
        target_.known_hosts = sshd_->directory() / "known_by_us";
        std::ofstream(target_.known_hosts) << text;
    }
    [[nodiscard]] std::string host_key_line(const std::string& type) const {
        std::ifstream file(sshd_->host_key_file(type));
        std::string line;
        std::getline(file, line);
        return line;
    }

    std::unique_ptr<twins::Sshd> sshd_;
    Target target_;
    asio::io_context loop_;
    std::unique_ptr<Link> link_;
};

} // namespace slotwitness::links::test
