#include "answer.hpp"

#include "chassis.hpp"
#include "gates.hpp"
#include "router.hpp"

#include <boost/asio/cancellation_state.hpp>
#include <boost/asio/experimental/awaitable_operators.hpp>
#include <boost/asio/this_coro.hpp>

#include <algorithm>

namespace slotwitness::api {

namespace asio = boost::asio;
using namespace std::chrono_literals;

namespace {

/// Until when nothing needs to be looked at; nothing if the response is due now.
std::optional<units::Instant> sleep_until(const desk::GateView& view, const AwaitChange& wait,
                                          units::Instant now) {
    if (now >= wait.until)
        return std::nullopt;
    if (!wait.seen)
        return view.finding.verdict == witness::Verdict::pending ? std::optional{wait.until}
                                                                 : std::nullopt;
    if (desk::as_of(view, now).revision != *wait.seen)
        return std::nullopt;
    // Confidence runs out by the clock alone: that is a change, too, and no event tells it.
    const units::Instant valid = view.finding.valid_until;
    return valid >= now && valid < wait.until ? valid + 1ms : wait.until;
}

asio::awaitable<void> await_change(AwaitChange wait, desk::Desk& desk, Leaving leaving) {
    using namespace asio::experimental::awaitable_operators;
    co_await asio::this_coro::reset_cancellation_state(asio::enable_terminal_cancellation());
    for (;;) {
        const auto view = desk.gate(wait.id);
        if (!view)
            break;
        const auto until = sleep_until(*view, wait, desk.now());
        if (!until)
            break;
        std::optional<std::uint64_t> revision;
        if (wait.seen)
            revision = view->revision;
        auto change = desk.gate_change(wait.id, revision, *until);
        auto left = leaving();
        auto either = std::move(change) || std::move(left);
        const auto first = co_await std::move(either);
        const auto state = co_await asio::this_coro::cancellation_state;
        if (first.index() == 1 || state.cancelled() != asio::cancellation_type::none)
            break;
        // Back early without news: the desk is stopping and waits no more. So must this.
        const auto after = desk.gate(wait.id);
        if (desk.now() < *until && after && after->revision == view->revision)
            break;
    }
    co_await asio::this_coro::reset_cancellation_state(asio::disable_cancellation());
}

} // namespace

asio::awaitable<Response> answer(const Request& request, desk::Desk& desk, Leaving leaving) {
    Next next = route(request, desk);
    if (auto* response = std::get_if<Response>(&next))
        co_return std::move(*response);
    if (auto* open = std::get_if<OpenGate>(&next)) {
        auto opening = desk.open_gate(std::move(open->wish));
        const auto opened = co_await std::move(opening);
        co_return gate_opened(request, opened, desk.now());
    }
    if (auto* close = std::get_if<CloseGate>(&next)) {
        auto closing = desk.close_gate(std::move(close->id), std::move(close->by));
        const auto closed = co_await std::move(closing);
        co_return gate_closed(request, closed, desk.now());
    }
    if (auto* want = std::get_if<WantBaseline>(&next)) {
        const std::string chassis = want->chassis;
        auto wanting = desk.want_baseline(std::move(want->chassis), std::move(want->by));
        const auto wanted = co_await std::move(wanting);
        co_return baseline_wanted(request, chassis, wanted, desk);
    }
    AwaitChange wait = std::get<AwaitChange>(std::move(next));
    const std::string id = wait.id;
    auto waiting = await_change(std::move(wait), desk, std::move(leaving));
    co_await std::move(waiting);
    co_return gate_shown(request, id, desk);
}

} // namespace slotwitness::api
