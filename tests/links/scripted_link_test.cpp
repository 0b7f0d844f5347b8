#include "support.hpp"

#include <slotwitness/twins/scripted_link.hpp>

#include <gtest/gtest.h>

// The twin behaves as the real link does where the rooms above can tell.

namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;

class ScriptedLinkTest : public ::testing::Test {
  protected:
    using Outcome = tl::expected<Answer, LinkError>;
    Outcome ask(const std::string& command) { return run(loop_, link_->ask(approved(command))); }
    void start(const std::string& command, std::optional<Outcome>& outcome) {
        asio::co_spawn(loop_, link_->ask(approved(command)),
                       [&outcome](std::exception_ptr, Outcome value) { outcome = value; });
        loop_.restart();
        loop_.poll();
    }

    asio::io_context loop_;
    std::shared_ptr<twins::Script> script_ = std::make_shared<twins::Script>();
    std::unique_ptr<Link> link_ = twins::make_scripted_link(script_);
};

TEST_F(ScriptedLinkTest, an_answer_comes_as_written_and_the_request_is_kept) {
    script_->answer("tell planes", "PLANE\n");
    script_->answer_once("tell planes", twins::whole("first\n"));
    ASSERT_TRUE(run(loop_, link_->connect()));
    EXPECT_EQ(ask("tell planes")->bytes, "first\n");
    const auto answer = ask("tell planes");
    EXPECT_EQ(answer->bytes, "PLANE\n");
    EXPECT_TRUE(answer->ended);
    EXPECT_EQ(answer->exit_status, 0);
    EXPECT_EQ(script_->asked(), (std::vector<std::string>{"tell planes", "tell planes"}));
}

TEST_F(ScriptedLinkTest, what_is_not_written_is_refused_and_the_session_lives_on) {
    ASSERT_TRUE(run(loop_, link_->connect()));
    const auto answer = ask("tell nothing");
    ASSERT_FALSE(answer);
    EXPECT_EQ(answer.error().kind, Kind::refused);
    EXPECT_TRUE(link_->connected());
    EXPECT_EQ(script_->unwritten(), std::vector<std::string>{"tell nothing"});
}

TEST_F(ScriptedLinkTest, a_failure_that_ends_the_session_disconnects) {
    script_->answer("a", tl::unexpected(LinkError{Kind::timed_out, "late"}));
    ASSERT_TRUE(run(loop_, link_->connect()));
    EXPECT_EQ(ask("a").error().kind, Kind::timed_out);
    EXPECT_FALSE(link_->connected());
    EXPECT_EQ(ask("a").error().kind, Kind::session_lost);
    ASSERT_TRUE(run(loop_, link_->connect()));
    EXPECT_EQ(script_->connects(), 2u);
}

TEST_F(ScriptedLinkTest, connecting_fails_once_as_written) {
    script_->connect_once(tl::unexpected(LinkError{Kind::host_key, "changed"}));
    const auto first = run(loop_, link_->connect());
    ASSERT_FALSE(first);
    EXPECT_EQ(first.error().kind, Kind::host_key);
    EXPECT_FALSE(link_->connected());
    EXPECT_TRUE(run(loop_, link_->connect()));
}

TEST_F(ScriptedLinkTest, a_held_answer_comes_at_its_release_as_it_is_written_then) {
    script_->answer("a", "old");
    script_->hold("a");
    ASSERT_TRUE(run(loop_, link_->connect()));
    std::optional<Outcome> outcome;
    start("a", outcome);
    EXPECT_FALSE(outcome);
    EXPECT_EQ(script_->asked().size(), 1u);
    script_->answer("a", "new");
    script_->release("a");
    ASSERT_TRUE(run_until(loop_, [&] { return outcome.has_value(); }));
    EXPECT_EQ((*outcome)->bytes, "new");
}

TEST_F(ScriptedLinkTest, dropping_the_sessions_or_closing_ends_what_waits) {
    script_->hold("a");
    for (const bool drop : {true, false}) {
        ASSERT_TRUE(run(loop_, link_->connect()));
        EXPECT_EQ(script_->sessions(), 1u);
        std::optional<Outcome> outcome;
        start("a", outcome);
        ASSERT_FALSE(outcome);
        drop ? script_->drop_sessions() : link_->close();
        EXPECT_EQ(script_->sessions(), 0u);
        ASSERT_TRUE(run_until(loop_, [&] { return outcome.has_value(); }));
        ASSERT_FALSE(*outcome);
        EXPECT_EQ(outcome->error().kind, Kind::session_lost);
    }
}

TEST_F(ScriptedLinkTest, a_test_can_wait_for_requests_and_connects) {
    script_->answer("a", "1");
    bool seen = false;
    const auto watch = [](twins::Script& script, bool& done) -> asio::awaitable<void> {
        co_await script.until_connects(1);
        co_await script.until_asked(2);
        done = true;
    };
    asio::co_spawn(loop_, watch(*script_, seen), [](std::exception_ptr) {});
    ASSERT_TRUE(run(loop_, link_->connect()));
    static_cast<void>(ask("a"));
    EXPECT_FALSE(seen);
    static_cast<void>(ask("a"));
    EXPECT_TRUE(run_until(loop_, [&] { return seen; }));
}

} // namespace
} // namespace slotwitness::links::test
