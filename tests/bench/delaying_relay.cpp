#include "delaying_relay.hpp"

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>

#include <array>
#include <deque>
#include <string>
#include <utility>
#include <vector>

namespace slotwitness::bench {

namespace asio = boost::asio;
using asio::ip::tcp;
using boost::system::error_code;
using Clock = std::chrono::steady_clock;

namespace {

/// One direction of a connection: what was read, with the instant at which it goes on.
struct Line {
    explicit Line(const asio::any_io_executor& executor) : due(executor) {}
    std::deque<std::pair<Clock::time_point, std::string>> under_way;
    bool ended = false;
    asio::steady_timer due; ///< of the first piece; cancelled when there is a new one
};

struct Joined {
    explicit Joined(const asio::any_io_executor& executor)
        : client(executor), server(executor), there(executor), back(executor) {}
    tcp::socket client, server;
    Line there, back;
};

tcp::endpoint on_loopback(std::uint16_t port) {
    return {asio::ip::address_v4::loopback(), port};
}

asio::awaitable<void> take(std::shared_ptr<Joined> /*kept*/, tcp::socket& from, Line& line,
                           std::chrono::milliseconds later) {
    std::array<char, 16 * 1024> buffer{};
    error_code error;
    while (!error) {
        const auto size = co_await from.async_read_some(
            asio::buffer(buffer), asio::redirect_error(asio::use_awaitable, error));
        if (!error)
            line.under_way.emplace_back(Clock::now() + later, std::string(buffer.data(), size));
        line.due.cancel();
    }
    line.ended = true;
}

asio::awaitable<void> bring(std::shared_ptr<Joined> /*kept*/, tcp::socket& to, Line& line) {
    error_code error;
    for (;;) {
        if (line.under_way.empty() && line.ended)
            break;
        const bool is_due = !line.under_way.empty() && line.under_way.front().first <= Clock::now();
        if (!is_due) {
            line.due.expires_at(line.under_way.empty() ? Clock::time_point::max()
                                                       : line.under_way.front().first);
            error_code woken;
            co_await line.due.async_wait(asio::redirect_error(asio::use_awaitable, woken));
            continue;
        }
        const std::string piece = std::move(line.under_way.front().second);
        line.under_way.pop_front();
        co_await asio::async_write(to, asio::buffer(piece),
                                   asio::redirect_error(asio::use_awaitable, error));
        if (error)
            break;
    }
    to.shutdown(tcp::socket::shutdown_send, error);
}

} // namespace

struct DelayingRelay::State : std::enable_shared_from_this<State> {
    State(const asio::any_io_executor& executor, std::uint16_t port,
          std::chrono::milliseconds each_way)
        : acceptor(executor, on_loopback(0)), server_port(port), later(each_way) {}

    asio::awaitable<void> accept() {
        for (;;) {
            auto joined = std::make_shared<Joined>(acceptor.get_executor());
            error_code error;
            co_await acceptor.async_accept(joined->client,
                                           asio::redirect_error(asio::use_awaitable, error));
            if (error)
                co_return;
            co_await joined->server.async_connect(on_loopback(server_port),
                                                  asio::redirect_error(asio::use_awaitable, error));
            if (error)
                continue;
            joined->client.set_option(tcp::no_delay(true), error);
            joined->server.set_option(tcp::no_delay(true), error);
            connections.push_back(joined);
            begin(take(joined, joined->client, joined->there, later));
            begin(bring(joined, joined->server, joined->there));
            begin(take(joined, joined->server, joined->back, later));
            begin(bring(joined, joined->client, joined->back));
        }
    }
    void begin(asio::awaitable<void> work) {
        asio::co_spawn(acceptor.get_executor(), std::move(work), [](std::exception_ptr) {});
    }

    tcp::acceptor acceptor;
    std::uint16_t server_port;
    std::chrono::milliseconds later;
    std::vector<std::weak_ptr<Joined>> connections;
};

DelayingRelay::DelayingRelay(asio::any_io_executor executor, std::uint16_t server_port,
                             std::chrono::milliseconds each_way)
    : state_(std::make_shared<State>(executor, server_port, each_way)) {
    asio::co_spawn(executor, state_->accept(), [keep = state_](std::exception_ptr) {});
}

DelayingRelay::~DelayingRelay() {
    error_code ignored;
    state_->acceptor.close(ignored);
    for (const auto& weak : state_->connections)
        if (const auto joined = weak.lock()) {
            joined->client.close(ignored);
            joined->server.close(ignored);
        }
}

std::uint16_t DelayingRelay::port() const {
    return state_->acceptor.local_endpoint().port();
}

} // namespace slotwitness::bench
