#pragma once

#include "transport.hpp"

#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/steady_timer.hpp>

namespace slotwitness::api {

class TcpTransport final : public Transport {
  public:
    explicit TcpTransport(boost::asio::ip::tcp::socket socket);

    [[nodiscard]] Clock::time_point now() const override { return Clock::now(); }
    [[nodiscard]] std::string peer() const override { return peer_; }
    [[nodiscard]] boost::asio::awaitable<Result<std::size_t>>
    read(std::span<char> into, Clock::time_point deadline) override;
    [[nodiscard]] boost::asio::awaitable<Result<void>> write(std::string_view bytes,
                                                             Clock::time_point deadline) override;
    void shut_sending() override;
    void close() override;

  private:
    boost::asio::ip::tcp::socket socket_;
    boost::asio::steady_timer timer_;
    std::string peer_;
};

} // namespace slotwitness::api
