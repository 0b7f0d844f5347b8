#include "chassis_server.hpp"
#include "relay.hpp"
#include "ways.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>
#include <stdlib.h>

// libssh under faults: a session through a relay that fails at piece N, for every N until the
// session no longer reaches it. Each time the link tells a clear error or a right answer, never
// hangs, and the same link can connect again.

namespace slotwitness::links::test {
namespace {

using Kind = LinkError::Kind;
using What = Fault::What;
using Way = Fault::Way;

const char* word(What what) {
    switch (what) {
    case What::none:
        return "none";
    case What::close:
        return "close";
    case What::reset:
        return "reset";
    case What::close_inside:
        return "close inside";
    case What::stall:
        return "stall";
    case What::split:
        return "split";
    case What::half_open:
        return "half open";
    case What::drip:
        return "drip";
    case What::close_after:
        return "close after bytes";
    }
    return "";
}

/// The connection stays, and nothing more comes of it in time.
bool is_silent(What what) {
    return what == What::stall || what == What::half_open || what == What::drip;
}

struct Sweep {
    What what;
    Way way;
    std::size_t from = 1;
    std::size_t step = 1;
};
std::ostream& operator<<(std::ostream& out, const Sweep& sweep) {
    return out << word(sweep.what)
               << (sweep.way == Way::to_server ? " to the server" : " to the client");
}

class RelayTest : public ::testing::Test {
  protected:
    void SetUp() override {
        if (const auto missing = twins::Sshd::missing()) {
            GTEST_SKIP() << *missing;
        }
        ASSERT_TRUE(prepare_ssh());
        serve(by_command());
    }
    void serve(Asking asking) {
        asking_ = std::move(asking);
        sshd_ = twins::Sshd::start(asking_.server);
        target_ = target_of(*sshd_);
        trust_by_fingerprint(twins::output_of(
            {"ssh-keygen", "-l", "-E", "sha256", "-f", sshd_->host_key_file("ed25519")}));
    }
    /// The relay's port is in no known_hosts; what ssh-keygen prints is pinned instead.
    void trust_by_fingerprint(const std::string& printed) {
        std::istringstream words(printed);
        std::string bits;
        target_.host_keys.resize(1);
        words >> bits >> target_.host_keys.front();
    }

    Target through(const Relay& relay) {
        auto target = target_;
        target.port = relay.port();
        return target;
    }

    void warm_up();
    /// Every sweep, at bytes inside of packets in steps of these.
    void sweep_all(std::size_t to_server, std::size_t to_client);
    [[nodiscard]] Limits patient() const {
        Limits limits = asking_.limits;
        limits.timeout = units::Duration(120'000);
        return limits;
    }

    /// Runs one (what, way) over all pieces. Returns how many pieces were struck.
    asio::awaitable<std::size_t> sweep(Sweep sweep, asio::any_io_executor executor);

    Asking asking_;
    std::unique_ptr<twins::Sshd> sshd_;
    Target target_;
    units::Duration little_{400}; ///< for what never comes
    asio::io_context loop_;
};

void expect_clear(What what, const tl::expected<Answer, LinkError>& outcome, const Asking& asking) {
    const bool is_command = asking.limits.by == profiles::Reach::By::command;
    if (outcome && (outcome->ended || what == What::split)) {
        // The fault struck what came after the answer, or did no harm.
        expect_right(outcome, asking);
    } else if (outcome) {
        EXPECT_TRUE(is_silent(what)) << outcome->remark;
        EXPECT_FALSE(outcome->remark.empty());
        // A shell's answer that is cut may have the beginning of its prompt.
        const std::string all = asking.right.bytes + (is_command ? "" : "edge-7> ");
        EXPECT_TRUE(all.starts_with(outcome->bytes));
    } else {
        EXPECT_NE(what, What::split) << outcome.error().text;
        // A dialogue may stall before it has begun, in a session that lives on.
        const auto kind = outcome.error().kind;
        EXPECT_EQ(kind == Kind::refused && !is_command ? Kind::timed_out : kind,
                  is_silent(what) ? Kind::timed_out : Kind::session_lost)
            << outcome.error().text;
        EXPECT_FALSE(outcome.error().text.empty());
    }
}

asio::awaitable<std::size_t> RelayTest::sweep(Sweep sweep, asio::any_io_executor executor) {
    Relay relay(executor, target_.port);
    auto target = through(relay);
    Limits limits = asking_.limits;
    if (is_silent(sweep.what)) {
        target.connect_timeout = little_;
        limits.timeout = little_;
    } else {
        target.connect_timeout = units::Duration(120'000);
        limits.timeout = units::Duration(120'000);
    }
    const auto link = make_ssh_link(executor, target, limits);
    for (std::size_t piece = sweep.from;; piece += sweep.step) {
        std::ostringstream place;
        place << sweep << ", piece " << piece;
        relay.spoil_next({sweep.what, sweep.way, piece});
        const auto outcome = co_await session(*link, asking_);
        const bool struck = relay.struck();
        {
            SCOPED_TRACE(place.str());
            expect_clear(sweep.what, outcome, asking_);
            EXPECT_FALSE(link->connected());
        }
        // Short time-outs may strike once more on a slow machine; a real defect never gets through.
        for (;;) {
            const auto again = co_await session(*link, asking_);
            SCOPED_TRACE(place.str() + ", connecting again");
            if (is_silent(sweep.what) && (!again || !again->ended)) {
                expect_clear(sweep.what, again, asking_);
                continue;
            }
            expect_right(again, asking_);
            break;
        }
        if (!struck) {
            co_return piece;
        }
    }
}

void RelayTest::warm_up() {
    // The loop opens descriptors of its own with its first socket.
    const Relay relay(loop_.get_executor(), target_.port);
    const auto link = make_ssh_link(loop_.get_executor(), through(relay), patient());
    expect_right(run(loop_, session(*link, asking_)), asking_);
}

void RelayTest::sweep_all(std::size_t to_server, std::size_t to_client) {
    std::vector<Sweep> sweeps;
    for (const auto what : {What::close, What::reset, What::close_inside, What::stall,
                            What::half_open, What::drip, What::split}) {
        for (const auto way : {Way::to_server, Way::to_client}) {
            sweeps.push_back({what, way, what == What::split ? 0u : 1u, 1});
        }
    }
    // Also at bytes inside of packets; SLOTWITNESS_LONG=1 takes nearly each of them.
    const bool thorough = std::getenv("SLOTWITNESS_LONG") != nullptr;
    sweeps.push_back({What::close_after, Way::to_server, 1, thorough ? 3u : to_server});
    sweeps.push_back({What::close_after, Way::to_client, 1, thorough ? 11u : to_client});
    std::vector<asio::awaitable<std::size_t>> running;
    for (const auto& one : sweeps) {
        running.push_back(sweep(one, loop_.get_executor()));
    }
    const auto counts = run_all(loop_, std::move(running));
    for (std::size_t i = 0; i < sweeps.size(); ++i) {
        // RFC 4253 and 4252: greeting, key exchange in two round trips, service, authentication;
        // then the channel. A sweep that stopped earlier has not seen a session.
        EXPECT_GE(counts[i], 6u) << sweeps[i];
        std::cout << sweeps[i] << ": " << counts[i]
                  << (sweeps[i].what == What::close_after ? " bytes\n" : " pieces\n");
    }
    finish(loop_);
}

TEST_F(RelayTest, a_fault_at_any_piece_of_a_session_ends_in_a_clear_error_and_the_link_recovers) {
    warm_up();
    finish(loop_);
    const auto before = open_descriptors();
    sweep_all(101, 397);
    EXPECT_EQ(open_descriptors(), before);
}

TEST_F(RelayTest, a_fault_at_any_piece_of_netconf_ends_in_a_clear_error_and_the_link_recovers) {
    std::string folder = std::filesystem::temp_directory_path() / "slotwitness-relay-XXXXXX";
    ASSERT_NE(::mkdtemp(folder.data()), nullptr);
    serve(by_netconf(folder));
    warm_up();
    finish(loop_);
    const auto before = open_descriptors();
    sweep_all(307, 1009);
    EXPECT_EQ(open_descriptors(), before);
    std::filesystem::remove_all(folder);
}

/// The simulated chassis, which writes down each byte that reaches it. What is typed into its shell
/// is known to the byte; a session that ends early has heard the beginning.
class RecordedRelayTest : public RelayTest {
  protected:
    void serve_chassis(profiles::Reach::By by) {
        sshd_.reset();
        server_ = std::make_unique<ChassisServer>();
        target_ = server_->target();
        std::ofstream(server_->target().known_hosts + ".pub") << server_->host_key() << '\n';
        trust_by_fingerprint(twins::output_of(
            {"ssh-keygen", "-l", "-E", "sha256", "-f", server_->target().known_hosts + ".pub"}));
        asking_ = {};
        asking_.query = "tell modules";
        const bool is_shell = by == profiles::Reach::By::shell;
        if (is_shell)
            asking_.limits = in_a_shell({}, "session-queries = [\"page off\"]");
        std::ifstream file(SLOTWITNESS_FIXTURES "/quillon/healthy/modules.txt");
        for (std::string line; std::getline(file, line);)
            asking_.right.bytes.append(line).append(is_shell ? "\r\n" : "\n");
        asking_.right.ended = true;
        asking_.right.exit_status = 0;
        little_ = units::Duration(300);
    }
    /// Of what the chassis heard in each session.
    template <typename Check>
    void expect_of_each(Check check) const {
        const auto all = server_->heard();
        std::size_t whole = 0;
        for (const auto& heard : all)
            whole += check(heard) ? 1 : 0;
        EXPECT_GE(whole, all.size() / 4) << "of " << all.size() << " few came to their end";
    }
    void sweep_chassis(profiles::Reach::By by) {
        serve_chassis(by);
        warm_up();
        server_.reset();
        finish(loop_);
        const auto before = open_descriptors();
        serve_chassis(by);
        sweep_all(307, 1009);
        by == profiles::Reach::By::shell ? expect_typed() : expect_commands();
        server_.reset();
        EXPECT_EQ(open_descriptors(), before);
    }
    void expect_typed() const {
        const std::string all = "\rpage off\r\rtell modules\r\r";
        expect_of_each([&all](const ChassisServer::Heard& heard) {
            EXPECT_THAT(heard.requests, ::testing::IsSubsetOf({"service", "auth", "channel", "pty",
                                                               "shell", "data"}));
            EXPECT_TRUE(all.starts_with(heard.typed)) << ::testing::PrintToString(heard.typed);
            return heard.typed == all;
        });
    }
    void expect_commands() const {
        expect_of_each([](const ChassisServer::Heard& heard) {
            EXPECT_THAT(heard.requests,
                        ::testing::IsSubsetOf({"service", "auth", "channel", "exec"}));
            EXPECT_LE(heard.commands.size(), 1U);
            for (const std::string& command : heard.commands)
                EXPECT_EQ(command, "tell modules");
            EXPECT_EQ(heard.typed, "");
            return heard.commands.size() == 1;
        });
    }

    std::unique_ptr<ChassisServer> server_;
};

TEST_F(RecordedRelayTest, after_no_fault_does_a_command_link_send_what_is_not_on_the_list) {
    sweep_chassis(profiles::Reach::By::command);
}

TEST_F(RecordedRelayTest, after_no_fault_does_a_shell_link_send_what_is_not_on_the_list) {
    sweep_chassis(profiles::Reach::By::shell);
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
