#include "wait.hpp"

#include <boost/asio/cancellation_state.hpp>
#include <boost/asio/experimental/awaitable_operators.hpp>
#include <boost/asio/this_coro.hpp>

#include <optional>
#include <utility>

namespace slotwitness::api {

namespace asio = boost::asio;
using namespace std::chrono_literals;

namespace {

/// As much of what is waited for as a wait must know.
struct Watched {
    std::uint64_t revision = 0;
    bool is_over = false; ///< decided, or closed
    std::optional<units::Instant> valid_until;
};

std::optional<Watched> watched(const desk::Desk& desk, const AwaitChange& wait) {
    if (wait.of == AwaitChange::Of::gate) {
        const auto view = desk.gate(wait.id);
        if (!view)
            return std::nullopt;
        return Watched{view->revision, view->finding.verdict != witness::Verdict::pending,
                       view->finding.valid_until};
    }
    const auto view = desk.procedure(wait.id);
    if (!view)
        return std::nullopt;
    return Watched{view->revision, view->record.finding.phase == witness::Phase::closed,
                   view->record.finding.valid_until};
}

/// Until when nothing needs to be looked at; nothing if the response is due now.
std::optional<units::Instant> sleep_until(const Watched& watched, const AwaitChange& wait,
                                          units::Instant now) {
    if (now >= wait.until || (wait.seen ? watched.revision != *wait.seen : watched.is_over))
        return std::nullopt;
    // Confidence runs out by the clock alone: that is a change, too, and no event tells it.
    const auto valid = watched.valid_until;
    return wait.seen && valid && *valid >= now && *valid < wait.until ? *valid + 1ms : wait.until;
}

} // namespace

asio::awaitable<void> await_change(AwaitChange wait, desk::Desk& desk, Leaving leaving) {
    using namespace asio::experimental::awaitable_operators;
    co_await asio::this_coro::reset_cancellation_state(asio::enable_terminal_cancellation());
    for (;;) {
        const auto before = watched(desk, wait);
        if (!before)
            break;
        const auto until = sleep_until(*before, wait, desk.now());
        if (!until)
            break;
        auto change = wait.of == AwaitChange::Of::gate
                          ? desk.gate_change(wait.id, wait.seen, *until)
                          : desk.procedure_change(wait.id, wait.seen, *until);
        auto left = leaving();
        auto either = std::move(change) || std::move(left);
        const auto first = co_await std::move(either);
        const auto state = co_await asio::this_coro::cancellation_state;
        if (first.index() == 1 || state.cancelled() != asio::cancellation_type::none)
            break;
        // Back early without news: the desk is stopping and waits no more. So must this.
        const auto after = watched(desk, wait);
        if (desk.now() < *until && after && after->revision == before->revision)
            break;
    }
    co_await asio::this_coro::reset_cancellation_state(asio::disable_cancellation());
}

} // namespace slotwitness::api
