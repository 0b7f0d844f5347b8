#include "relay_fixture.hpp"

#include <cstdlib>
#include <iostream>
#include <sstream>

namespace slotwitness::links::test {

using Kind = LinkError::Kind;
using What = Fault::What;
using Way = Fault::Way;

namespace {

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

} // namespace

std::ostream& operator<<(std::ostream& out, const Sweep& sweep) {
    return out << word(sweep.what)
               << (sweep.way == Way::to_server ? " to the server" : " to the client");
}

namespace {

void expect_clear(What what, const tl::expected<Answer, LinkError>& outcome, const Asking& asking) {
    const bool is_command = asking.limits.by == profiles::Reach::By::command;
    if (outcome && ((outcome->ended && outcome->remark.empty()) || what == What::split)) {
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

} // namespace

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
        // A link has nothing of a login that failed: the next piece shows that it goes on.
        if (struck && sweep.what != What::close_after &&
            piece < (sweep.way == Way::to_server ? login_.to_server : login_.to_client)) {
            continue;
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
        if (!struck && outcome && outcome->ended) {
            co_return piece;
        }
        if (!struck) {
            piece -= sweep.step; // a short time-out ended it before the piece came: once more
        }
    }
}

void RelayTest::warm_up() {
    // The loop opens descriptors of its own with its first socket.
    const Relay relay(loop_.get_executor(), target_.port);
    const auto link = make_ssh_link(loop_.get_executor(), through(relay), patient());
    const auto connected = run(loop_, link->connect());
    ASSERT_TRUE(connected) << connected.error().text;
    login_ = {relay.pieces(Way::to_server), relay.pieces(Way::to_client)};
    expect_right(run(loop_, session(*link, asking_)), asking_);
}

void RelayTest::sweep_all(std::size_t to_server, std::size_t to_client) {
    std::vector<Sweep> sweeps;
    for (const auto what : {What::close, What::reset, What::close_inside, What::stall,
                            What::half_open, What::drip, What::split}) {
        for (const auto way : {Way::to_server, Way::to_client}) {
            const std::size_t from = strikes_logins_         ? 1
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
}

} // namespace slotwitness::links::test
