#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;
using ::testing::HasSubstr;

/// One real server for the tests that leave it as it is.
class SshLinkTest : public ::testing::Test {
  protected:
    void SetUp() override {
        if (const auto missing = twins::Sshd::missing()) {
            GTEST_SKIP() << *missing;
        }
        ASSERT_TRUE(prepare_ssh());
        sshd_ = twins::Sshd::start();
    }
    std::unique_ptr<Link> link(Limits limits = {}) {
        return make_ssh_link(loop_.get_executor(), target_of(*sshd_), limits);
    }

    std::unique_ptr<twins::Sshd> sshd_;
    asio::io_context loop_;
};

TEST_F(SshLinkTest, an_answer_comes_whole_with_output_errors_and_exit_status) {
    auto link = this->link();
    const auto connected = run(loop_, link->connect());
    ASSERT_TRUE(connected) << connected.error().text << sshd_->log();
    EXPECT_TRUE(link->connected());
    const auto answer = run(loop_, link->ask(approved("echo out; echo err >&2; exit 3")));
    ASSERT_TRUE(answer) << answer.error().text;
    EXPECT_EQ(answer->bytes, "out\n");
    EXPECT_EQ(answer->errors, "err\n");
    EXPECT_TRUE(answer->ended);
    EXPECT_EQ(answer->exit_status, 3);
    EXPECT_EQ(answer->remark, "");
    link->close();
    EXPECT_FALSE(link->connected());
}

} // namespace
} // namespace slotwitness::links::test
