#include "relay_fixture.hpp"

#include <slotwitness/twins/folder.hpp>

#include <gmock/gmock.h>

#include <filesystem>

// Faults on the way to OpenSSH's server.

namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;
using Way = Fault::Way;

TEST_F(RelayTest, a_fault_at_any_piece_of_a_session_ends_in_a_clear_error_and_the_link_recovers) {
    strikes_logins_ = true;
    warm_up();
    finish(loop_);
    const auto before = open_descriptors();
    sweep_all(101, 397);
    EXPECT_EQ(open_descriptors(), before);
}

TEST_F(RelayTest, a_fault_at_any_piece_of_netconf_ends_in_a_clear_error_and_the_link_recovers) {
    const twins::Folder folder;
    serve(by_netconf(folder.path()));
    warm_up();
    finish(loop_);
    const auto before = open_descriptors();
    sweep_all(307, 1009);
    EXPECT_EQ(open_descriptors(), before);
}

TEST_F(RelayTest, an_idle_session_that_still_lives_is_kept) {
    Relay relay(loop_.get_executor(), target_.port);
    auto target = through(relay);
    target.keep_alive = units::Duration(50);
    const auto link = make_ssh_link(loop_.get_executor(), target, patient());
    ASSERT_TRUE(run(loop_, link->connect()));
    const auto asked = relay.pieces(Way::to_server);
    const auto answered = relay.pieces(Way::to_client);
    // Probe and reply, several times over.
    ASSERT_TRUE(run_until(loop_, [&] {
        return !link->connected() || (relay.pieces(Way::to_server) >= asked + 5 &&
                                      relay.pieces(Way::to_client) >= answered + 5);
    }));
    EXPECT_TRUE(link->connected());
    auto query = approved(asking_.query);
    expect_right(run(loop_, link->ask(std::move(query))), asking_);
}

TEST_F(RelayTest, an_idle_session_that_falls_silent_is_given_up) {
    Relay relay(loop_.get_executor(), target_.port);
    auto target = through(relay);
    target.keep_alive = units::Duration(50);
    const auto link = make_ssh_link(loop_.get_executor(), target, patient());
    ASSERT_TRUE(run(loop_, link->connect()));
    relay.stall(Way::to_client);
    ASSERT_TRUE(run_until(loop_, [&] { return !link->connected(); }));
    auto query = approved(asking_.query);
    const auto answer = run(loop_, link->ask(std::move(query)));
    ASSERT_FALSE(answer);
    EXPECT_EQ(answer.error().kind, Kind::session_lost);
    EXPECT_THAT(answer.error().text, ::testing::HasSubstr("no sign of life"));
    expect_right(run(loop_, session(*link, asking_)), asking_);
}

} // namespace
} // namespace slotwitness::links::test
