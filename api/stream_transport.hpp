#pragma once

#include "deadlines.hpp"
#include "transport.hpp"

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>

#include <tuple>
#include <utility>

namespace slotwitness::api {

/// A transport over one of Asio's streams; what differs between them is in its subclasses. One
/// operation at a time.
template <class Stream>
class StreamTransport : public Transport {
  public:
    [[nodiscard]] Clock::time_point now() const override { return Clock::now(); }
    [[nodiscard]] std::string peer() const override { return peer_; }

    [[nodiscard]] boost::asio::awaitable<Result<std::size_t>>
    read(std::span<char> into, Clock::time_point deadline) override {
        begin_until(deadline);
        const auto buffer = boost::asio::buffer(into.data(), into.size());
        const auto [error, count] = co_await stream_.async_read_some(buffer, quietly);
        deadline_.set(Deadlines::never);
        if (error)
            co_return tl::unexpected{told(error)};
        co_return count;
    }

    [[nodiscard]] std::size_t write_now(std::string_view) override { return 0; }

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

    StreamTransport(Stream stream, std::string peer, Deadlines& deadlines)
        : stream_(std::move(stream)), deadline_(deadlines, [this] { stop_waiting(); }),
          peer_(std::move(peer)) {}

    /// Ends with an error at the deadline.
    template <class... Results>
    boost::asio::awaitable<Result<void>>
    within(boost::asio::awaitable<std::tuple<Error, Results...>> work, Clock::time_point deadline) {
        begin_until(deadline);
        const auto result = co_await std::move(work);
        deadline_.set(Deadlines::never);
        if (const Error error = std::get<0>(result))
            co_return tl::unexpected{told(error)};
        co_return Result<void>{};
    }

    Stream& stream() { return stream_; }

  private:
    void begin_until(Clock::time_point deadline) {
        is_over_ = false;
        deadline_.set(deadline);
    }
    void stop_waiting() {
        is_over_ = true;
        Error ignored;
        stream_.lowest_layer().cancel(ignored);
    }
    /// What is cancelled may be so by its deadline, or from outside.
    [[nodiscard]] Error told(Error error) const {
        const bool is_late = is_over_ && error == boost::asio::error::operation_aborted;
        return is_late ? Error{boost::asio::error::timed_out} : error;
    }

    Stream stream_;
    Deadlines::Entry deadline_;
    bool is_over_ = false; ///< the deadline of the operation under way has passed
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

    PlainTransport(Socket socket, std::string peer, Deadlines& deadlines)
        : Base(std::move(socket), std::move(peer), deadlines) {
        boost::system::error_code ignored; // then nothing goes out at once
        this->stream().non_blocking(true, ignored);
    }

    /// Mostly the whole response fits into the socket's buffer: nothing has to wait for it.
    [[nodiscard]] std::size_t write_now(std::string_view bytes) override {
        boost::system::error_code error;
        const auto buffer = boost::asio::buffer(bytes.data(), bytes.size());
        const bool waits_not = this->stream().non_blocking();
        return waits_not ? this->stream().write_some(buffer, error) : 0;
    }
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
