#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <tl/expected.hpp>

#include <string>

/// Sockets that are listened on. Errors are sentences with their remedy.
namespace slotwitness::api {

[[nodiscard]] tl::expected<boost::asio::ip::tcp::acceptor, std::string>
open_acceptor(const boost::asio::any_io_executor& executor,
              const boost::asio::ip::tcp::endpoint& endpoint);

/// A Unix socket for the user and the group. One that a killed daemon left behind is replaced.
[[nodiscard]] tl::expected<boost::asio::local::stream_protocol::acceptor, std::string>
open_acceptor(const boost::asio::any_io_executor& executor, const std::string& path);

} // namespace slotwitness::api
