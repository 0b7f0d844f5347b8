#pragma once

#include "transport.hpp"

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/experimental/awaitable_operators.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>

#include <tuple>
#include <utility>
#include <variant>

namespace slotwitness::api {

/// A transport over one of Asio's streams; what differs between them is in its subclasses.
template <class Stream>
class StreamTransport : public Transport {
  public:
    [[nodiscard]] Clock::time_point now() const override { return Clock::now(); }
    [[nodiscard]] std::string peer() const override { return peer_; }

    [[nodiscard]] boost::asio::awaitable<Result<std::size_t>>
    read(std::span<char> into, Clock::time_point deadline) override {
        const auto buffer = boost::asio::buffer(into.data(), into.size());
        auto reading = stream_.async_read_some(buffer, quietly);
        if (deadline == no_deadline) {
            const auto [error, count] = co_await std::move(reading);
            if (error)
                co_return tl::unexpected{error};
            co_return count;
        }
        timer_.expires_at(deadline);
        auto sleeping = timer_.async_wait(quietly);
        auto either = either_of(std::move(reading), std::move(sleeping));
        const auto first = co_await std::move(either);
        if (const auto error = error_of(first))
            co_return tl::unexpected{error};
        co_return std::get<1>(std::get<0>(first));
    }

    [[nodiscard]] boost::asio::awaitable<Result<void>> write(std::string_view bytes,
                                                             Clock::time_point deadline) override {
        const auto buffer = boost::asio::buffer(bytes.data(), bytes.size());
        auto writing = boost::asio::async_write(stream_, buffer, quietly);
        auto done = within(std::move(writing), deadline);
        const Result<void> result = co_await std::move(done);
        co_return result;
    }

  protected:
    static constexpr auto quietly = boost::asio::as_tuple(boost::asio::use_awaitable);

    StreamTransport(Stream stream, std::string peer)
        : stream_(std::move(stream)), timer_(stream_.get_executor()), peer_(std::move(peer)) {}

    /// Ends with an error at the deadline.
    template <class... Results>
    boost::asio::awaitable<Result<void>>
    within(boost::asio::awaitable<std::tuple<Error, Results...>> work, Clock::time_point deadline) {
        timer_.expires_at(deadline);
        auto sleeping = timer_.async_wait(quietly);
        auto either = either_of(std::move(work), std::move(sleeping));
        const auto first = co_await std::move(either);
        if (const auto error = error_of(first))
            co_return tl::unexpected{error};
        co_return Result<void>{};
    }

    Stream& stream() { return stream_; }

  private:
    template <class Left, class Right>
    static auto either_of(Left left, Right right) {
        using namespace boost::asio::experimental::awaitable_operators;
        return std::move(left) || std::move(right);
    }

    /// What came of work that raced the timer.
    template <class Done>
    static Error error_of(const std::variant<Done, std::tuple<Error>>& first) {
        if (const auto* slept = std::get_if<1>(&first)) {
            // The timer ends first also when both are cancelled from outside.
            const Error error = std::get<0>(*slept);
            return error ? error : Error{boost::asio::error::timed_out};
        }
        return std::get<0>(std::get<0>(first));
    }

    Stream stream_;
    boost::asio::steady_timer timer_;
    std::string peer_;
};

/// Bytes as they are, over TCP or a Unix socket.
template <class Socket>
class PlainTransport final : public StreamTransport<Socket> {
  public:
    using Base = StreamTransport<Socket>;
    using typename Transport::Clock;
    template <class Value>
    using Result = typename Transport::template Result<Value>;

    PlainTransport(Socket socket, std::string peer) : Base(std::move(socket), std::move(peer)) {}

    [[nodiscard]] boost::asio::awaitable<Result<void>> begin(Clock::time_point) override {
        co_return Result<void>{};
    }
    [[nodiscard]] boost::asio::awaitable<void> shut_sending(Clock::time_point) override {
        boost::system::error_code ignored; // the peer may be gone already
        this->stream().shutdown(Socket::shutdown_send, ignored);
        co_return;
    }
    void close() override {
        boost::system::error_code ignored;
        this->stream().close(ignored);
    }
};

} // namespace slotwitness::api
