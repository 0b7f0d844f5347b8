#include "relay_fixture.hpp"

#include <slotwitness/netconf/framing.hpp>
#include <slotwitness/netconf/messages.hpp>
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
    sweep_all(151, 601);
    EXPECT_EQ(open_descriptors(), before);
}

TEST_F(RelayTest, after_no_fault_in_netconf_is_sent_what_is_not_on_the_list_and_the_link_recovers) {
    const twins::Folder folder;
    serve(by_netconf(folder.path()));
    warm_up();
    finish(loop_);
    const auto before = open_descriptors();
    sweep_all(307, 1009);
    EXPECT_EQ(open_descriptors(), before);
    // A session that ends early has heard the beginning.
    constexpr auto framing = netconf::Framing::end_of_message;
    const std::string asked = netconf::framed(netconf::hello(), framing) +
                              netconf::framed(netconf::get(1, asking_.query), framing);
    const std::string all = asked + netconf::framed(netconf::close_session(2), framing);
    const auto sessions = heard_over_netconf(folder.path());
    std::size_t asking = 0;
    std::size_t leaving = 0;
    for (const std::string& heard : sessions) {
        EXPECT_TRUE(all.starts_with(heard)) << heard;
        asking += heard.starts_with(asked) ? 1 : 0;
        leaving += heard == all ? 1 : 0;
    }
    EXPECT_GE(asking, sessions.size() / 4);
    EXPECT_GE(leaving, 1U);
}

// RFC 4253, section 9: keys are exchanged again in the midst of the answer.
TEST_F(RelayTest,
       a_fault_while_keys_are_exchanged_again_ends_in_a_clear_error_and_a_recovered_link) {
    auto asking = by_command(20'000);
    asking.server.more.emplace_back("RekeyLimit 64K");
    serve(std::move(asking));
    warm_up();
    // Behind the login we say: a channel, the query; then each piece is of the keys or the window.
    const std::size_t query = login_.to_server + 2;
    std::vector<asio::awaitable<std::size_t>> running;
    for (const auto what :
         {Fault::What::close, Fault::What::reset, Fault::What::stall, Fault::What::half_open})
        running.push_back(sweep({what, Way::to_server, query + 1}, loop_.get_executor()));
    for (const std::size_t pieces : run_all(loop_, std::move(running)))
        EXPECT_GE(pieces, query + 4);
}

// RFC 4254, section 5.2: what we say of our window no longer reaches the server, which stops when
// it is full. 64,000 bytes is libssh's first one.
TEST_F(RelayTest,
       an_answer_that_stops_where_our_window_is_full_is_cut_there_and_the_link_recovers) {
    asking_ = by_command(100'000);
    warm_up();
    Relay relay(loop_.get_executor(), target_.port);
    Limits limits = asking_.limits;
    limits.timeout = units::Duration(2'000);
    const auto link = make_ssh_link(loop_.get_executor(), through(relay), limits);
    // Behind the login go the opening of a channel and the query; then nothing more.
    tl::expected<Answer, LinkError> outcome;
    for (std::size_t piece = login_.to_server + 3; !outcome || outcome->bytes.empty(); ++piece) {
        relay.spoil_next({Fault::What::stall, Way::to_server, piece});
        outcome = run(loop_, session(*link, asking_));
    }
    EXPECT_EQ(outcome->bytes, asking_.right.bytes.substr(0, 64'000));
    EXPECT_FALSE(outcome->ended);
    EXPECT_THAT(outcome->remark, ::testing::HasSubstr("cut after 2 s at 64000 bytes"));
    do {
        outcome = run(loop_, session(*link, asking_));
    } while (!outcome || !outcome->ended); // on a slow machine
    expect_right(outcome, asking_);
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
