#include "connect_fixture.hpp"
#include "relay.hpp"

#include <slotwitness/links/bastion.hpp>

#include <gmock/gmock.h>

#include <algorithm>

// Jump hosts that nobody here wrote: OpenSSH, with what sshd_config(5) offers to forbid all but
// forwarding. `MaxSessions 0` prevents "all shell, login and subsystem sessions while still
// permitting forwarding".
namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;
using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

class BastionTest : public ConnectTest {
  protected:
    /// A jump host from which this port alone can be reached.
    std::unique_ptr<twins::Sshd> jump_host(std::uint16_t to, std::vector<std::string> more = {}) {
        twins::Sshd::Setup setup;
        setup.more = std::move(more);
        setup.more.push_back("MaxSessions 0");
        setup.more.push_back("PermitOpen 127.0.0.1:" + std::to_string(to));
        return twins::Sshd::start(std::move(setup));
    }
    static Hop hop(const std::string& name, const twins::Sshd& sshd) {
        return {name, target_of(sshd)};
    }
    /// The same server behind this relay.
    static Hop hop(const std::string& name, const twins::Sshd& sshd, const Relay& relay) {
        Hop hop{name, target_of(sshd)};
        hop.target.port = relay.port();
        hop.target.host_keys = {fingerprint_of(sshd.host_key_file("ed25519"))};
        return hop;
    }
    std::unique_ptr<Link> link_through(const std::vector<Hop>& hops) {
        return make_ssh_link(loop_.get_executor(), target_, {},
                             bastions_.way(loop_.get_executor(), hops));
    }
    tl::expected<void, LinkError> connect_through(const std::vector<Hop>& hops) {
        link_ = link_through(hops);
        return run(loop_, link_->connect());
    }
    std::string answer_to(Link& link, const std::string& command) {
        const auto answer = run(loop_, link.ask(approved(command)));
        return answer ? answer->bytes : answer.error().text;
    }
    static std::size_t count(const std::string& text, const std::string& what) {
        std::size_t found = 0;
        for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) {
            ++found;
        }
        return found;
    }

    Bastions bastions_;
};

TEST_F(BastionTest, a_chassis_is_reached_through_one_that_forwards_and_does_nothing_else) {
    start();
    const auto bastion = jump_host(sshd_->port());
    const auto connected = connect_through({hop("b1", *bastion)});
    ASSERT_TRUE(connected) << connected.error().text << bastion->log();
    EXPECT_EQ(answer_to(*link_, "echo there"), "there\n");
    EXPECT_EQ(answer_to(*link_, "seq 1 200000 | tail -1"), "200000\n");
    const auto long_answer = answer_to(*link_, "seq 1 100000");
    EXPECT_EQ(std::count(long_answer.begin(), long_answer.end(), '\n'), 100'000);
    link_->close();
    finish(loop_);
    EXPECT_THAT(bastion->log(), Not(HasSubstr("Starting session")));
}

TEST_F(BastionTest, two_in_a_row_lead_on_each_from_the_one_before) {
    start();
    const auto second = jump_host(sshd_->port());
    const auto first = jump_host(second->port());
    const auto connected = connect_through({hop("b1", *first), hop("b2", *second)});
    ASSERT_TRUE(connected) << connected.error().text << first->log() << second->log();
    EXPECT_EQ(answer_to(*link_, "echo there"), "there\n");
    link_->close();
    finish(loop_);
}

TEST_F(BastionTest, who_goes_the_same_way_shares_its_session_and_the_last_to_go_closes_it) {
    start();
    const auto bastion = jump_host(sshd_->port());
    const std::vector<Hop> way{hop("b1", *bastion)};
    std::vector<std::unique_ptr<Link>> links;
    std::vector<asio::awaitable<tl::expected<void, LinkError>>> connecting;
    for (int i = 0; i < 6; ++i) {
        links.push_back(link_through(way));
        connecting.push_back(links.back()->connect());
    }
    for (const auto& connected : run_all(loop_, std::move(connecting))) {
        ASSERT_TRUE(connected) << connected.error().text;
    }
    EXPECT_EQ(count(bastion->log(), "Accepted publickey"), 1U);
    for (const auto& link : links) {
        EXPECT_EQ(answer_to(*link, "echo there"), "there\n");
    }
    links.front()->close();
    EXPECT_EQ(answer_to(*links.back(), "echo still there"), "still there\n");
    for (const auto& link : links) {
        link->close();
    }
    finish(loop_); // returns, so nothing is left to wait for
    ASSERT_TRUE(run(loop_, links.front()->connect()));
    EXPECT_EQ(count(bastion->log(), "Accepted publickey"), 2U);
    links.front()->close();
    finish(loop_);
}

TEST_F(BastionTest, the_reason_names_the_hop_that_failed) {
    start();
    const auto bastion = jump_host(sshd_->port());
    const std::vector<Hop> way{hop("b1", *bastion)};
    const auto text_of = [&](const std::vector<Hop>& hops, Kind kind) {
        const auto connected = connect_through(hops);
        EXPECT_FALSE(connected);
        link_->close();
        finish(loop_);
        bastions_ = {};
        if (connected) {
            return std::string();
        }
        EXPECT_EQ(to_word(connected.error().kind), to_word(kind)) << connected.error().text;
        return connected.error().text;
    };
    auto unknown = way;
    unknown[0].target.known_hosts.clear();
    unknown[0].target.host_keys = {"SHA256:" + std::string(43, 'A')};
    EXPECT_THAT(text_of(unknown, Kind::host_key),
                AllOf(HasSubstr("bastion b1 ("), HasSubstr("none of host-keys")));
    auto refused = way;
    refused[0].target.key_file = bastion->other_key_file();
    EXPECT_THAT(text_of(refused, Kind::bastion),
                AllOf(HasSubstr("bastion b1 ("), HasSubstr("was refused")));
    auto unreadable = way;
    unreadable[0].target.key_file = "/nonexistent/key";
    EXPECT_THAT(text_of(unreadable, Kind::own_files), HasSubstr("/nonexistent/key"));

    const auto own_key = target_.key_file;
    target_.key_file = sshd_->other_key_file();
    EXPECT_THAT(text_of(way, Kind::credential),
                AllOf(HasSubstr(place() + " through b1: user"), HasSubstr("was refused")));
    target_.key_file = own_key;
    const auto port = target_.port;
    target_.port = 9; // discard (RFC 863): not what the bastion forwards to
    EXPECT_THAT(
        text_of(way, Kind::unreachable),
        AllOf(HasSubstr("127.0.0.1:9 through b1"), HasSubstr("opened no way there"),
              HasSubstr("administratively prohibited: open failed"))); // RFC 4254, section 5.1
    target_.port = port;
    sshd_->stop();
    EXPECT_THAT(
        text_of(way, Kind::unreachable),
        AllOf(HasSubstr("opened no way there"), HasSubstr("connect failed: Connection refused")));
    bastion->stop();
    EXPECT_THAT(text_of(way, Kind::unreachable),
                AllOf(HasSubstr("cannot reach bastion b1 ("), HasSubstr("Connection refused")));
}

TEST_F(BastionTest, one_that_is_lost_ends_the_sessions_behind_it_and_is_made_again) {
    start();
    const auto bastion = jump_host(sshd_->port());
    const std::vector<Hop> way{hop("b1", *bastion)};
    ASSERT_TRUE(connect_through(way));
    bastion->kill_sessions();
    ASSERT_TRUE(run_until(loop_, [&] { return !link_->connected(); }));
    const auto lost = run(loop_, link_->ask(approved("echo there")));
    ASSERT_FALSE(lost);
    EXPECT_EQ(lost.error().kind, Kind::session_lost);
    EXPECT_THAT(lost.error().text,
                AllOf(HasSubstr("the way there is gone"), HasSubstr("bastion b1 (")));
    const auto again = run(loop_, link_->connect());
    ASSERT_TRUE(again) << again.error().text;
    EXPECT_EQ(answer_to(*link_, "echo there"), "there\n");
    link_->close();
    finish(loop_);
}

// A device or bastion may lock an account after a few refusals (common practice, no source).
TEST_F(BastionTest, one_that_refused_our_credential_is_asked_again_only_when_a_person_says_so) {
    start();
    const auto bastion = jump_host(sshd_->port());
    std::vector<Hop> way{hop("b1", *bastion)};
    way[0].target.key_file = bastion->directory() / "our_key";
    twins::output_of({"cp", bastion->other_key_file(), way[0].target.key_file});
    for (int i = 0; i < 3; ++i) {
        const auto refused = connect_through(way);
        ASSERT_FALSE(refused);
        EXPECT_EQ(refused.error().kind, Kind::bastion) << refused.error().text;
    }
    EXPECT_EQ(count(bastion->log(), "Connection from"), 2U) // one is the test's own look at it
        << bastion->log();
    twins::output_of({"cp", bastion->key_file(), way[0].target.key_file});
    link_->forgive();
    const auto connected = run(loop_, link_->connect());
    EXPECT_TRUE(connected) << connected.error().text;
    link_->close();
    finish(loop_);
}

TEST_F(BastionTest, one_that_forwards_nowhere_in_time_keeps_the_others_sessions) {
    start();
    const auto bastion = jump_host(sshd_->port());
    Relay relay(loop_.get_executor(), bastion->port());
    const std::vector<Hop> way{hop("b1", *bastion, relay)};
    ASSERT_TRUE(connect_through(way));
    // What would open the way stays in the relay for longer than the wait.
    relay.stall(Fault::Way::to_server);
    target_.connect_timeout = units::Duration(200);
    const auto other = link_through(way);
    const auto late = run(loop_, other->connect());
    ASSERT_FALSE(late);
    EXPECT_EQ(late.error().kind, Kind::unreachable);
    EXPECT_THAT(late.error().text,
                AllOf(HasSubstr("timed out while bastion b1 ("), HasSubstr("opening a way there")));
    EXPECT_TRUE(link_->connected());
    link_->close();
    other->close();
}

TEST_F(BastionTest, a_fault_on_the_way_ends_in_a_clear_reason_and_a_recovered_link) {
    start();
    const auto bastion = jump_host(sshd_->port());
    ASSERT_TRUE(connect_through({hop("b1", *bastion)})); // the loop opens its own
    link_->close();
    finish(loop_);
    const auto before = open_descriptors();
    for (const auto what : {Fault::What::close, Fault::What::reset, Fault::What::close_inside}) {
        for (const auto direction : {Fault::Way::to_server, Fault::Way::to_client}) {
            bool struck = true;
            for (std::size_t piece = 1; struck; piece += 11) {
                Relay relay(loop_.get_executor(), bastion->port());
                bastions_ = {};
                relay.spoil_next({what, direction, piece});
                const std::vector<Hop> way{hop("b1", *bastion, relay)};
                auto result = connect_through(way);
                if (result) {
                    const auto answer = run(loop_, link_->ask(approved("seq 1 300")));
                    if (!answer) {
                        result = tl::unexpected(answer.error());
                    }
                }
                struck = relay.struck();
                if (!result) {
                    EXPECT_THAT(result.error().text, HasSubstr("b1"));
                    EXPECT_TRUE(result.error().kind == Kind::unreachable ||
                                result.error().kind == Kind::session_lost)
                        << to_word(result.error().kind) << ": " << result.error().text;
                    bastions_ = {}; // a new one, which does not wait before it tries again
                    const auto again = connect_through(way);
                    EXPECT_TRUE(again) << again.error().text;
                }
                link_->close();
            }
        }
    }
    finish(loop_);
    EXPECT_EQ(open_descriptors(), before);
}

} // namespace
} // namespace slotwitness::links::test
