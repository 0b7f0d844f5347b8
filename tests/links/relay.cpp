#include "relay.hpp"

#include <boost/asio/awaitable.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>

#include <algorithm>
#include <array>
#include <vector>

namespace slotwitness::links::test {

namespace asio = boost::asio;
using asio::ip::tcp;
using boost::system::error_code;
using What = Fault::What;
using Way = Fault::Way;

namespace {

struct Connection {
    explicit Connection(const asio::any_io_executor& executor)
        : client(executor), server(executor) {}
    tcp::socket client;
    tcp::socket server;
    Fault fault;
    std::array<bool, 2> stalled{};

    void end(bool reset) {
        for (auto* socket : {&client, &server}) {
            error_code ignored;
            if (reset) {
                socket->set_option(asio::socket_base::linger(true, 0), ignored);
            }
            socket->close(ignored);
        }
    }
};

std::size_t index(Way way) {
    return way == Way::to_server ? 0 : 1;
}

bool hits(const Fault& fault, std::size_t piece, std::size_t passed, std::size_t size) {
    switch (fault.what) {
    case What::none:
        return false;
    case What::close:
    case What::reset:
    case What::close_inside:
    case What::stall:
    case What::half_open:
    case What::drip:
        return fault.piece == piece;
    case What::split:
        return fault.piece == piece || fault.piece == 0;
    case What::close_after:
        return passed + size > fault.piece;
    }
    return false;
}

tcp::endpoint loopback(std::uint16_t port) {
    return {asio::ip::address_v4::loopback(), port};
}

} // namespace

struct Relay::State : std::enable_shared_from_this<State> {
    State(const asio::any_io_executor& executor, std::uint16_t port)
        : acceptor(executor, loopback(0)), server_port(port) {}

    tcp::acceptor acceptor;
    std::uint16_t server_port;
    Fault next;
    bool struck = false;
    std::array<std::size_t, 2> pieces{};
    std::vector<std::weak_ptr<Connection>> connections;

    asio::awaitable<void> accept() {
        for (;;) {
            auto connection = std::make_shared<Connection>(acceptor.get_executor());
            error_code error;
            co_await acceptor.async_accept(connection->client,
                                           asio::redirect_error(asio::use_awaitable, error));
            if (error) {
                co_return;
            }
            connection->fault = next;
            next = {};
            connections.push_back(connection);
            co_await connection->server.async_connect(
                loopback(server_port), asio::redirect_error(asio::use_awaitable, error));
            if (error) {
                connection->end(false);
                continue;
            }
            connection->client.set_option(tcp::no_delay(true), error);
            connection->server.set_option(tcp::no_delay(true), error);
            for (const auto way : {Way::to_server, Way::to_client}) {
                asio::co_spawn(acceptor.get_executor(), pass(shared_from_this(), connection, way),
                               asio::detached);
            }
        }
    }

    static asio::awaitable<void> pass(std::shared_ptr<State> self,
                                      std::shared_ptr<Connection> connection, Way way) {
        auto& from = way == Way::to_server ? connection->client : connection->server;
        auto& to = way == Way::to_server ? connection->server : connection->client;
        std::array<char, 16 * 1024> buffer{};
        std::size_t passed = 0;
        bool drips = false;
        asio::steady_timer pause(from.get_executor());
        for (std::size_t piece = 1;; ++piece) {
            error_code error;
            const auto size = co_await from.async_read_some(
                asio::buffer(buffer), asio::redirect_error(asio::use_awaitable, error));
            if (error) {
                to.shutdown(tcp::socket::shutdown_send, error);
                co_return;
            }
            if (connection->stalled[index(way)]) {
                continue;
            }
            ++self->pieces[index(way)];
            const auto& fault = connection->fault;
            const bool strikes = fault.way == way && hits(fault, piece, passed, size);
            self->struck = self->struck || strikes;
            std::size_t step = size;
            if (strikes) {
                switch (fault.what) {
                case What::none:
                    break;
                case What::close:
                case What::reset:
                    connection->end(fault.what == What::reset);
                    co_return;
                case What::close_inside:
                case What::close_after:
                    step = fault.what == What::close_inside ? size / 2 : fault.piece - passed;
                    co_await asio::async_write(to, asio::buffer(buffer, step),
                                               asio::redirect_error(asio::use_awaitable, error));
                    connection->end(false);
                    co_return;
                case What::stall:
                    connection->stalled[index(way)] = true;
                    continue;
                case What::half_open:
                    connection->stalled = {true, true};
                    continue;
                case What::drip:
                    drips = true;
                    break;
                case What::split:
                    step = 1;
                    break;
                }
            }
            passed += size;
            if (drips)
                step = 1;
            for (std::size_t at = 0; at < size && !error; at += step) {
                if (drips) {
                    constexpr std::chrono::milliseconds now_and_then{20};
                    pause.expires_after(now_and_then);
                    co_await pause.async_wait(asio::use_awaitable);
                }
                co_await asio::async_write(to, asio::buffer(buffer.data() + at, step),
                                           asio::redirect_error(asio::use_awaitable, error));
            }
            if (error) {
                connection->end(false);
                co_return;
            }
        }
    }
};

Relay::Relay(asio::any_io_executor executor, std::uint16_t server_port)
    : state_(std::make_shared<State>(executor, server_port)) {
    asio::co_spawn(executor, state_->accept(),
                   [keep = state_](std::exception_ptr) { /* the acceptor is closed */ });
}

Relay::~Relay() {
    error_code ignored;
    state_->acceptor.close(ignored);
    for (const auto& weak : state_->connections) {
        if (const auto connection = weak.lock()) {
            connection->end(false);
        }
    }
}

std::uint16_t Relay::port() const {
    return state_->acceptor.local_endpoint().port();
}

void Relay::spoil_next(Fault fault) {
    state_->next = fault;
    state_->struck = false;
}

bool Relay::struck() const {
    return state_->struck;
}

void Relay::stall(Way way) {
    for (const auto& weak : state_->connections) {
        if (const auto connection = weak.lock()) {
            connection->stalled[index(way)] = true;
        }
    }
}

std::size_t Relay::pieces(Way way) const {
    return state_->pieces[index(way)];
}

} // namespace slotwitness::links::test
