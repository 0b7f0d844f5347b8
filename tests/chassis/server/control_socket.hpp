#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <tl/expected.hpp>

#include <filesystem>
#include <functional>
#include <string>
#include <string_view>

namespace slotwitness::chassis {

/// A Unix socket on which each line is an order and gets one line back. Whoever may open the file
/// may give orders; it is made for its owner alone. The file goes with the object.
class ControlSocket {
  public:
    using Obey = std::function<std::string(std::string_view line)>;

    ControlSocket(boost::asio::io_context& io, Obey obey);
    ~ControlSocket();
    ControlSocket(const ControlSocket&) = delete;
    ControlSocket& operator=(const ControlSocket&) = delete;

    /// Takes the place of a socket that nobody listens on any more, of no other file. The error
    /// names the path.
    [[nodiscard]] tl::expected<void, std::string> open(const std::filesystem::path& path);
    void close();

  private:
    class Connection;
    void accept();

    boost::asio::local::stream_protocol::acceptor acceptor_;
    Obey obey_;
    std::filesystem::path path_;
};

} // namespace slotwitness::chassis
