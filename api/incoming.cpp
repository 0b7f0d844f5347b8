#include "incoming.hpp"

#include <boost/asio/cancellation_state.hpp>
#include <boost/asio/error.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>

#include <utility>

namespace slotwitness::api {

namespace asio = boost::asio;

asio::awaitable<tl::expected<Head, Incoming::Refused>> Incoming::head() {
    // Idle until the first byte; from then on the head has its own time.
    if (received_.empty()) {
        const auto idle =
            std::exchange(is_new_, false) ? limits().first_byte_time : limits().idle_time;
        const auto first = co_await transport_.read(chunk_, transport_.now() + idle);
        if (!took(first))
            co_return tl::unexpected{Refused{}};
    } else { // whoever sends without waiting leaves a turn to others
        const auto executor = co_await asio::this_coro::executor;
        co_await asio::post(executor, asio::use_awaitable);
    }
    std::optional<Transport::Clock::time_point> deadline;
    for (;;) {
        // RFC 9112 §2.2: an empty line before the request line is passed over.
        if (received_.starts_with("\r\n"))
            received_.erase(0, 2);
        const auto end = head_end(received_, limits());
        if (!end)
            co_return tl::unexpected{Refused{end.error()}};
        if (*end > 0)
            co_return take_head(*end);
        if (!deadline)
            deadline = transport_.now() + limits().header_time;
        if (!co_await receive(*deadline))
            co_return tl::unexpected{too_slow("head")};
    }
}

tl::expected<Head, Incoming::Refused> Incoming::take_head(std::size_t end) {
    auto head = read_head(std::string_view{received_}.substr(0, end), common_.hosts, limits());
    received_.erase(0, end);
    if (!head)
        return tl::unexpected{Refused{std::move(head.error())}};
    return std::move(*head);
}

asio::awaitable<tl::expected<void, Incoming::Refused>> Incoming::body(Head& head) {
    const auto deadline = transport_.now() + limits().body_time;
    while (received_.size() < head.body)
        if (!co_await receive(deadline))
            co_return tl::unexpected{too_slow("body")};
    head.request.body = received_.substr(0, head.body);
    received_.erase(0, head.body);
    co_return tl::expected<void, Refused>{};
}

/// Appends what comes; false at the end, an error, the deadline or a stop, which `last_error_`
/// tells.
asio::awaitable<bool> Incoming::receive(Transport::Clock::time_point deadline) {
    if (common_.stopping || at_end_)
        co_return false;
    const auto count = co_await transport_.read(chunk_, deadline);
    co_return took(count);
}

bool Incoming::took(const Transport::Result<std::size_t>& count) {
    if (count) {
        received_.append(chunk_.data(), *count);
        return true;
    }
    last_error_ = count.error();
    at_end_ =
        last_error_ != asio::error::timed_out && last_error_ != asio::error::operation_aborted;
    return false;
}

Incoming::Refused Incoming::too_slow(std::string_view part) const {
    if (last_error_ != asio::error::timed_out || received_.empty())
        return std::nullopt;
    ProblemDetails problem;
    problem.status = 408; // RFC 9110 §15.5.9
    problem.detail = "The request did not come in time.";
    problem.expected = "the whole " + std::string{part};
    problem.remedy = "Send it at once.";
    return problem;
}

asio::awaitable<void> Incoming::left() {
    co_await asio::this_coro::throw_if_cancelled(false);
    while (received_.size() < limits().pipelined_bytes && !at_end_)
        if (!co_await receive(Transport::no_deadline))
            break;
    if (at_end_)
        co_return;
    // Full (or cancelled, and then this ends at once): the end cannot be seen behind unread
    // requests.
    asio::steady_timer never{co_await asio::this_coro::executor, Transport::no_deadline};
    const auto state = co_await asio::this_coro::cancellation_state;
    boost::system::error_code ignored;
    if (state.cancelled() == asio::cancellation_type::none)
        co_await never.async_wait(asio::redirect_error(asio::use_awaitable, ignored));
}

asio::awaitable<void> Incoming::drain(Transport::Clock::time_point deadline) {
    std::size_t drained = 0;
    while (!at_end_ && drained < limits().drained_bytes) {
        received_.clear();
        if (!co_await receive(deadline))
            break;
        drained += received_.size();
    }
}

} // namespace slotwitness::api
