#pragma once

#include <boost/asio/awaitable.hpp>
#include <boost/system/error_code.hpp>
#include <tl/expected.hpp>

#include <chrono>
#include <cstddef>
#include <span>
#include <string>
#include <string_view>

namespace slotwitness::api {

/// The bytes and the time of one connection: a seam, so that tests bring their own.
class Transport {
  public:
    using Clock = std::chrono::steady_clock;
    using Error = boost::system::error_code;
    template <class Value>
    using Result = tl::expected<Value, Error>;
    static constexpr Clock::time_point no_deadline = Clock::time_point::max();

    virtual ~Transport() = default;
    [[nodiscard]] virtual Clock::time_point now() const = 0;
    [[nodiscard]] virtual std::string peer() const = 0;

    /// At least one byte, asio::error::eof at the end, asio::error::timed_out at the deadline,
    /// operation_aborted when cancelled. No byte is lost to a cancellation. Never throws.
    [[nodiscard]] virtual boost::asio::awaitable<Result<std::size_t>>
    read(std::span<char> into, Clock::time_point deadline) = 0;
    /// How much of it goes out without waiting; the rest, and what is wrong, is for `write`.
    [[nodiscard]] virtual std::size_t write_now(std::string_view bytes) = 0;
    /// All of it or an error, as for `read`.
    [[nodiscard]] virtual boost::asio::awaitable<Result<void>>
    write(std::string_view bytes, Clock::time_point deadline) = 0;
    /// What comes before the first byte of HTTP: the handshake of TLS. Errors as of `read`.
    [[nodiscard]] virtual boost::asio::awaitable<Result<void>>
    begin(Clock::time_point deadline) = 0;
    /// Ends the sending direction.
    [[nodiscard]] virtual boost::asio::awaitable<void> shut_sending(Clock::time_point deadline) = 0;
    /// Ends both at once; pending operations end with an error.
    virtual void close() = 0;
};

} // namespace slotwitness::api
