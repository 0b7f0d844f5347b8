#pragma once

#include "relay.hpp"
#include "ways.hpp"

#include <gtest/gtest.h>

namespace slotwitness::links::test {

struct Sweep {
    Fault::What what;
    Fault::Way way;
    std::size_t from = 1;
    std::size_t step = 1;
};
std::ostream& operator<<(std::ostream& out, const Sweep& sweep);

/// libssh under faults: sessions through a relay that fails at piece N, for every N until the
/// session no longer reaches it. Each time the link tells a clear error or a right answer, never
/// hangs, and the same link can connect again.
class RelayTest : public ::testing::Test {
  protected:
    void SetUp() override {
        if (const auto missing = twins::Sshd::missing()) {
            GTEST_SKIP() << *missing;
        }
        ASSERT_TRUE(prepare_ssh());
        serve(by_command());
    }
    /// The relay's port is in no known_hosts; the server's key is pinned instead.
    void serve(Asking asking) {
        asking_ = std::move(asking);
        sshd_ = twins::Sshd::start(asking_.server);
        target_ = target_of(*sshd_);
        target_.host_keys = {fingerprint_of(sshd_->host_key_file("ed25519"))};
    }

    Target through(const Relay& relay) {
        auto target = target_;
        target.port = relay.port();
        return target;
    }

    /// Opens what the loop keeps open, and counts the pieces of a login.
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
    /// What comes before the first query is the same for every way of asking: one test strikes it.
    bool strikes_logins_ = false;
    struct {
        std::size_t to_server, to_client;
    } login_{}; ///< pieces of it
    std::unique_ptr<twins::Sshd> sshd_;
    Target target_;
    units::Duration little_{400}; ///< for what never comes
    asio::io_context loop_;
};

} // namespace slotwitness::links::test
