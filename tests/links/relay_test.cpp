#include "relay.hpp"
#include "support.hpp"

#include <slotwitness/netconf/framing.hpp>
#include <slotwitness/netconf/messages.hpp>

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
    case What::close_after:
        return "close after bytes";
    }
    return "";
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

std::string numbers_to_3000(const std::string& line_end) {
    std::string text;
    for (int i = 1; i <= 3000; ++i)
        text.append(std::to_string(i)).append(line_end);
    return text;
}

/// One way of asking: what the server runs, what is asked, and what the right answer is.
struct Asking {
    twins::Sshd::Setup server;
    Limits limits;
    std::string query;
    Answer right;
};

Asking by_command() {
    Asking asking;
    asking.query = "seq 1 3000; echo done >&2; exit 7";
    asking.right = {numbers_to_3000("\n"), "done\n", true, 7, ""};
    return asking;
}

Asking by_shell() {
    Asking asking;
    asking.server.forced_command = "exec env PS1='edge-7> ' dash -i";
    asking.limits = in_a_shell({}, "session-queries = [\"true\"]");
    asking.query = "seq 1 3000";
    asking.right = {numbers_to_3000("\r\n"), "", true, 0, ""};
    return asking;
}

/// With a peer that waits for exactly what may be said, and then replies.
Asking by_netconf(const std::filesystem::path& folder) {
    using netconf::framed;
    constexpr auto framing = netconf::Framing::end_of_message;
    const std::string space = R"(xmlns="urn:ietf:params:xml:ns:netconf:base:1.0")";
    Asking asking;
    asking.limits.by = profiles::Reach::By::netconf;
    asking.query = R"(<hardware xmlns="urn:ietf:params:xml:ns:yang:ietf-hardware"/>)";
    asking.right = {"<rpc-reply " + space + " message-id=\"1\"><data><x>" + numbers_to_3000("\n") +
                        "</x></data></rpc-reply>",
                    "", true, 0, ""};
    std::ofstream(folder / "hello", std::ios::binary)
        << framed("<hello " + space +
                      "><capabilities><capability>urn:ietf:params:netconf:base:1.0</capability>"
                      "</capabilities><session-id>1</session-id></hello>",
                  framing);
    std::ofstream(folder / "reply", std::ios::binary) << framed(asking.right.bytes, framing);
    const std::size_t heard = framed(netconf::hello(), framing).size() +
                              framed(netconf::get(1, asking.query), framing).size();
    std::ofstream(folder / "peer.sh")
        << "cat " << folder / "hello"
        << "\nhead -c " << heard << " >/dev/null\ncat " << folder / "reply"
        << "\ncat >/dev/null\n";
    asking.server.more = {"Subsystem netconf /bin/sh " + (folder / "peer.sh").string()};
    return asking;
}

class RelayTest : public ::testing::Test {
  protected:
    void SetUp() override {
        if (const auto missing = twins::Sshd::missing()) {
            GTEST_SKIP() << *missing;
        }
        ASSERT_TRUE(prepare_ssh());
    }
    /// What comes before the first query is the same for every way of asking: one of them is struck
    /// there.
    [[nodiscard]] bool strikes_logins() const {
        return asking_.limits.by == profiles::Reach::By::command;
    }
    void serve(Asking asking) {
        asking_ = std::move(asking);
        sshd_ = twins::Sshd::start(asking_.server);
        std::ifstream file(sshd_->host_key_file("ed25519"));
        std::getline(file, host_key_);
    }

    Target through(const Relay& relay) {
        auto target = target_of(*sshd_);
        target.port = relay.port();
        target.known_hosts = sshd_->directory() / ("known_" + std::to_string(relay.port()));
        std::ofstream(target.known_hosts)
            << "[127.0.0.1]:" << relay.port() << ' ' << host_key_ << '\n';
        return target;
    }

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
    struct {
        std::size_t to_server, to_client;
    } login_{}; ///< pieces of it
    std::unique_ptr<twins::Sshd> sshd_;
    std::string host_key_;
    asio::io_context loop_;
};

/// One whole session: connect, ask, close.
asio::awaitable<tl::expected<Answer, LinkError>> session(Link& link, const Asking& asking) {
    const auto connected = co_await link.connect();
    if (!connected) {
        co_return tl::unexpected(connected.error());
    }
    auto query = approved(asking.query);
    auto answer = co_await link.ask(std::move(query));
    link.close();
    co_return answer;
}

void expect_right(const tl::expected<Answer, LinkError>& answer, const Asking& asking) {
    ASSERT_TRUE(answer) << answer.error().text;
    EXPECT_EQ(answer->bytes, asking.right.bytes);
    EXPECT_EQ(answer->errors, asking.right.errors);
    EXPECT_EQ(answer->exit_status, asking.right.exit_status);
    EXPECT_TRUE(answer->ended);
    EXPECT_EQ(answer->remark, "");
}

void expect_clear(What what, const tl::expected<Answer, LinkError>& outcome, const Asking& asking) {
    const bool is_command = asking.limits.by == profiles::Reach::By::command;
    if (outcome && (outcome->ended || what == What::split)) {
        // The fault struck what came after the answer, or did no harm.
        expect_right(outcome, asking);
    } else if (outcome) {
        EXPECT_EQ(what, What::stall) << outcome->remark;
        EXPECT_FALSE(outcome->remark.empty());
        // A shell's answer that is cut may have the beginning of its prompt.
        const std::string all = asking.right.bytes + (is_command ? "" : "edge-7> ");
        EXPECT_TRUE(all.starts_with(outcome->bytes));
    } else {
        EXPECT_NE(what, What::split) << outcome.error().text;
        // A dialogue may stall before it has begun, in a session that lives on.
        const auto kind = outcome.error().kind;
        EXPECT_EQ(kind == Kind::refused && !is_command ? Kind::timed_out : kind,
                  what == What::stall ? Kind::timed_out : Kind::session_lost)
            << outcome.error().text;
        EXPECT_FALSE(outcome.error().text.empty());
    }
}

asio::awaitable<std::size_t> RelayTest::sweep(Sweep sweep, asio::any_io_executor executor) {
    Relay relay(executor, sshd_->port());
    auto target = through(relay);
    Limits limits = asking_.limits;
    if (sweep.what == What::stall) {
        target.connect_timeout = units::Duration(700);
        limits.timeout = units::Duration(700);
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
        // A link has nothing of a login that failed: the next piece shows that it goes on.
        if (struck && sweep.what != What::close_after &&
            piece < (sweep.way == Way::to_server ? login_.to_server : login_.to_client)) {
            continue;
        }
        // Short time-outs may strike once more on a slow machine; a real defect never gets through.
        for (;;) {
            const auto again = co_await session(*link, asking_);
            SCOPED_TRACE(place.str() + ", connecting again");
            if (sweep.what == What::stall && (!again || !again->ended)) {
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

void RelayTest::sweep_all(std::size_t to_server, std::size_t to_client) {
    { // the loop opens descriptors of its own with its first socket
        const Relay relay(loop_.get_executor(), sshd_->port());
        const auto link = make_ssh_link(loop_.get_executor(), through(relay), patient());
        const auto connected = run(loop_, link->connect());
        ASSERT_TRUE(connected) << connected.error().text;
        login_ = {relay.pieces(Way::to_server), relay.pieces(Way::to_client)};
        expect_right(run(loop_, session(*link, asking_)), asking_);
    }
    finish(loop_);
    const auto before = open_descriptors();
    std::vector<Sweep> sweeps;
    for (const auto what :
         {What::close, What::reset, What::close_inside, What::stall, What::split}) {
        for (const auto way : {Way::to_server, Way::to_client}) {
            const std::size_t from = strikes_logins()        ? 1
                                     : way == Way::to_server ? login_.to_server
                                                             : login_.to_client;
            sweeps.push_back({what, way, what == What::split && from == 1 ? 0 : from, 1});
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
    EXPECT_EQ(open_descriptors(), before);
}

TEST_F(RelayTest, a_fault_at_any_piece_of_a_session_ends_in_a_clear_error_and_the_link_recovers) {
    serve(by_command());
    sweep_all(101, 397);
}

TEST_F(RelayTest, a_fault_at_any_piece_of_a_shell_ends_in_a_clear_error_and_the_link_recovers) {
    serve(by_shell());
    sweep_all(307, 1009);
}

TEST_F(RelayTest, a_fault_at_any_piece_of_netconf_ends_in_a_clear_error_and_the_link_recovers) {
    std::string folder = std::filesystem::temp_directory_path() / "slotwitness-relay-XXXXXX";
    ASSERT_NE(::mkdtemp(folder.data()), nullptr);
    serve(by_netconf(folder));
    sweep_all(307, 1009);
    std::filesystem::remove_all(folder);
}

TEST_F(RelayTest, an_idle_session_that_still_lives_is_kept) {
    serve(by_command());
    Relay relay(loop_.get_executor(), sshd_->port());
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
    serve(by_command());
    Relay relay(loop_.get_executor(), sshd_->port());
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
