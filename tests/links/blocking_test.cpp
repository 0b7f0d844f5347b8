#include "blocking_calls.hpp"
#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <poll.h>

namespace slotwitness::links::test {
namespace {

using ::testing::Each;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

/// Every phase that a link has, on one loop in this thread.
void live_through_a_session(twins::Sshd& sshd, const std::string& host) {
    asio::io_context loop;
    auto target = target_of(sshd);
    target.host = host;
    target.keep_alive = units::Duration(50);
    Limits limits{units::Duration(120'000)};
    limits.longest_answer = 100'000;
    limits.parallel = 2;
    const auto link = make_ssh_link(loop.get_executor(), target, limits);
    const auto connected = run(loop, link->connect());
    ASSERT_TRUE(connected) << connected.error().text;
    std::vector<asio::awaitable<tl::expected<Answer, LinkError>>> asks;
    asks.push_back(link->ask(approved("seq 1 10000; exit 3")));
    asks.push_back(link->ask(approved("yes"))); // over the cap: closed by us
    const auto answers = run_all(loop, std::move(asks));
    ASSERT_TRUE(answers[0]) << answers[0].error().text;
    EXPECT_EQ(answers[0]->exit_status, 3);
    sshd.kill_sessions();
    ASSERT_TRUE(run_until(loop, [&] { return !link->connected(); })); // probes meanwhile
    ASSERT_TRUE(run(loop, link->connect()));
    link->close();
    finish(loop);
}

class BlockingTest : public ::testing::Test {
  protected:
    void SetUp() override {
        if (const auto missing = twins::Sshd::missing()) {
            GTEST_SKIP() << *missing;
        }
        ASSERT_TRUE(prepare_ssh());
        twins::Sshd::Setup setup;
        setup.more = {"RekeyLimit 64K"};
        sshd_ = twins::Sshd::start(setup);
    }
    std::unique_ptr<twins::Sshd> sshd_;
};

TEST_F(BlockingTest, no_call_of_a_link_can_block_the_loop) {
    const BlockingCalls watched;
    live_through_a_session(*sshd_, "127.0.0.1");
    EXPECT_THAT(watched.seen(), IsEmpty());
    EXPECT_GT(watched.calls(), 20u); // libssh's own poll, recv and send came by here
}

TEST_F(BlockingTest, looking_a_name_up_does_not_block_the_loop) {
    std::ifstream own(sshd_->known_hosts_file());
    std::string line;
    std::getline(own, line);
    own.close();
    std::ofstream(sshd_->known_hosts_file())
        << "[localhost]" << line.substr(line.find(':')) << '\n';
    const BlockingCalls watched;
    live_through_a_session(*sshd_, "localhost");
    EXPECT_THAT(watched.seen(), IsEmpty());
}

TEST_F(BlockingTest, nobodys_ssh_configuration_is_read) {
    const BlockingCalls watched;
    live_through_a_session(*sshd_, "127.0.0.1");
    EXPECT_THAT(watched.files(),
                Each(::testing::AnyOf("/dev/null", sshd_->key_file(), sshd_->known_hosts_file(),
                                      ::testing::StartsWith("/proc/"))));
}

// That the watch sees anything at all.
TEST(BlockingCallsTest, a_blocking_call_is_seen) {
    const BlockingCalls watched;
    ::poll(nullptr, 0, 1);
    ::poll(nullptr, 0, 0);
    EXPECT_THAT(watched.seen(), ElementsAre("poll with timeout 1"));
    EXPECT_EQ(watched.calls(), 2u);
}

} // namespace
} // namespace slotwitness::links::test
