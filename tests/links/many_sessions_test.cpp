#include "support.hpp"

#include <boost/asio/strand.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/asio/use_future.hpp>
#include <gtest/gtest.h>

#include <algorithm>
#include <future>
#include <sstream>

namespace slotwitness::links::test {
namespace {

constexpr units::Duration patience{250'000};

class ManySessionsTest : public ::testing::Test {
  protected:
    void SetUp() override {
        if (const auto missing = twins::Sshd::missing()) {
            GTEST_SKIP() << *missing;
        }
        ASSERT_TRUE(prepare_ssh());
        sshd_ = twins::Sshd::start();
        target_ = target_of(*sshd_);
        target_.connect_timeout = patience;
        target_.keep_alive = patience;
    }
    std::unique_ptr<twins::Sshd> sshd_;
    Target target_;
};

/// Connects and asks twice; true if each answer is this session's own.
asio::awaitable<bool> converse(Link& link, int me) {
    const auto connected = co_await link.connect();
    if (!connected) {
        ADD_FAILURE() << connected.error().text;
        co_return false;
    }
    for (int round = 0; round < 2; ++round) {
        std::ostringstream text;
        text << "session " << me << " round " << round;
        auto query = approved("echo " + text.str());
        const auto answer = co_await link.ask(std::move(query));
        if (!answer) {
            ADD_FAILURE() << answer.error().text;
            co_return false;
        }
        if (answer->bytes != text.str() + "\n") {
            ADD_FAILURE() << answer->bytes;
            co_return false;
        }
    }
    co_return true;
}

TEST_F(ManySessionsTest, two_hundred_sessions_on_one_loop_keep_apart_and_all_notice_their_end) {
    constexpr int count = 200;
    asio::io_context loop;
    {
        const auto warm = make_ssh_link(loop.get_executor(), target_, {patience});
        ASSERT_TRUE(run(loop, converse(*warm, -1)));
    }
    finish(loop);
    const auto before = open_descriptors();
    {
        std::vector<std::unique_ptr<Link>> links;
        std::vector<asio::awaitable<bool>> talks;
        for (int me = 0; me < count; ++me) {
            links.push_back(make_ssh_link(loop.get_executor(), target_, {patience}));
            talks.push_back(converse(*links.back(), me));
        }
        for (const bool fine : run_all(loop, std::move(talks))) {
            EXPECT_TRUE(fine);
        }
        for (const auto& link : links) {
            EXPECT_TRUE(link->connected());
        }
        EXPECT_GE(sshd_->kill_sessions(), static_cast<std::size_t>(count));
        EXPECT_TRUE(run_until(loop, [&] {
            return std::none_of(links.begin(), links.end(),
                                [](const auto& link) { return link->connected(); });
        }));
        EXPECT_TRUE(run(loop, converse(*links.back(), count)));
    }
    finish(loop);
    EXPECT_EQ(open_descriptors(), before);
}

TEST_F(ManySessionsTest, sessions_on_strands_of_a_pool_of_threads_keep_apart) {
    constexpr int count = 12;
    asio::thread_pool pool(3);
    std::vector<std::future<bool>> talks;
    for (int me = 0; me < count; ++me) {
        const asio::any_io_executor strand = asio::make_strand(pool);
        // The link lives and dies on its strand, with the coroutine.
        const auto life = [](asio::any_io_executor executor, Target target,
                             int number) -> asio::awaitable<bool> {
            const auto link = make_ssh_link(executor, target, {patience});
            const bool fine = co_await converse(*link, number);
            link->close();
            co_return fine;
        };
        talks.push_back(asio::co_spawn(strand, life(strand, target_, me), asio::use_future));
    }
    for (auto& talk : talks) {
        EXPECT_TRUE(talk.get());
    }
    pool.join();
}

} // namespace
} // namespace slotwitness::links::test
