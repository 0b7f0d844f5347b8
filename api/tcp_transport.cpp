#include "tcp_transport.hpp"

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/experimental/awaitable_operators.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>

#include <tuple>
#include <utility>
#include <variant>

namespace slotwitness::api {

namespace asio = boost::asio;
using namespace asio::experimental::awaitable_operators;

namespace {

constexpr auto quietly = asio::as_tuple(asio::use_awaitable);
using Moved = std::tuple<boost::system::error_code, std::size_t>;
using Slept = std::tuple<boost::system::error_code>;

/// What came of a transfer that raced a timer.
Transport::Result<std::size_t> outcome(const std::variant<Moved, Slept>& first) {
    if (const auto* slept = std::get_if<Slept>(&first)) {
        // The timer ends first also when both are cancelled from outside.
        const auto error = std::get<0>(*slept);
        return tl::unexpected{error ? error : Transport::Error{asio::error::timed_out}};
    }
    const auto& [error, count] = std::get<Moved>(first);
    if (error)
        return tl::unexpected{error};
    return count;
}

std::string address_of(const asio::ip::tcp::socket& socket) {
    boost::system::error_code error;
    const auto endpoint = socket.remote_endpoint(error);
    return error ? std::string{} : endpoint.address().to_string();
}

} // namespace

TcpTransport::TcpTransport(asio::ip::tcp::socket socket)
    : socket_(std::move(socket)), timer_(socket_.get_executor()), peer_(address_of(socket_)) {}

asio::awaitable<Transport::Result<std::size_t>> TcpTransport::read(std::span<char> into,
                                                                   Clock::time_point deadline) {
    const auto buffer = asio::buffer(into.data(), into.size());
    auto reading = socket_.async_read_some(buffer, quietly);
    if (deadline == no_deadline) {
        const auto [error, count] = co_await std::move(reading);
        if (error)
            co_return tl::unexpected{error};
        co_return count;
    }
    timer_.expires_at(deadline);
    auto sleeping = timer_.async_wait(quietly);
    auto either = std::move(reading) || std::move(sleeping);
    const auto first = co_await std::move(either);
    co_return outcome(first);
}

asio::awaitable<Transport::Result<void>> TcpTransport::write(std::string_view bytes,
                                                             Clock::time_point deadline) {
    const auto buffer = asio::buffer(bytes.data(), bytes.size());
    timer_.expires_at(deadline);
    auto writing = asio::async_write(socket_, buffer, quietly);
    auto sleeping = timer_.async_wait(quietly);
    auto either = std::move(writing) || std::move(sleeping);
    const auto first = co_await std::move(either);
    if (const auto result = outcome(first); !result)
        co_return tl::unexpected{result.error()};
    co_return Result<void>{};
}

void TcpTransport::shut_sending() {
    boost::system::error_code ignored; // the peer may be gone already
    socket_.shutdown(asio::ip::tcp::socket::shutdown_send, ignored);
}

void TcpTransport::close() {
    boost::system::error_code ignored;
    socket_.close(ignored);
}

} // namespace slotwitness::api
