#pragma once

#include "connection.hpp"
#include "head.hpp"
#include "problem.hpp"
#include "transport.hpp"

#include <boost/asio/awaitable.hpp>
#include <tl/expected.hpp>

#include <array>
#include <optional>
#include <string>
#include <string_view>

namespace slotwitness::api {

/// What a client sends on one connection: heads, bodies, and its end. Both arguments outlive it.
/// Call its coroutines with `throw_if_cancelled` off.
class Incoming {
  public:
    Incoming(Transport& transport, const Common& common) : transport_(transport), common_(common) {}

    /// The problem to be told as the last response; nothing: there is nobody to tell, or nothing.
    using Refused = std::optional<ProblemDetails>;

    /// The next head, once it is whole.
    [[nodiscard]] boost::asio::awaitable<tl::expected<Head, Refused>> head();
    /// Completes the request of `head` by its body.
    [[nodiscard]] boost::asio::awaitable<tl::expected<void, Refused>> body(Head& head);

    /// Ends when the client has ended its direction. It may have ended that one alone and still
    /// listen, so it gets its answer: the present state, at once.
    [[nodiscard]] boost::asio::awaitable<void> left();
    /// Reads on within bounds, so that closing does not reset the connection before the client has
    /// read its last response (RFC 9112 §9.6).
    [[nodiscard]] boost::asio::awaitable<void> drain(Transport::Clock::time_point deadline);

    /// True without bytes that are not used yet.
    [[nodiscard]] bool empty() const { return received_.empty(); }
    /// Nothing more comes from the client.
    [[nodiscard]] bool at_end() const { return at_end_; }
    void end() { at_end_ = true; }

  private:
    [[nodiscard]] const ServerLimits& limits() const { return common_.limits; }
    tl::expected<Head, Refused> take_head(std::size_t end);
    boost::asio::awaitable<bool> receive(Transport::Clock::time_point deadline);
    bool took(const Transport::Result<std::size_t>& count);
    [[nodiscard]] Refused too_slow(std::string_view part) const;

    Transport& transport_;
    const Common& common_;
    std::string received_; ///< and not yet used
    /// A request is a few hundred bytes, and ten thousand clients may wait.
    std::array<char, 2 * 1024> chunk_{};
    bool is_new_ = true; ///< nothing was asked yet
    boost::system::error_code last_error_;
    bool at_end_ = false;
};

} // namespace slotwitness::api
