#pragma once

#include <boost/asio/any_io_executor.hpp>

#include <chrono>
#include <cstdint>
#include <memory>

namespace slotwitness::bench {

/// A TCP relay on 127.0.0.1 in front of a server that passes each piece on so much later, both
/// ways, however many are under way: a long line. On the loop of the client under measure; ends
/// with the object.
class DelayingRelay {
  public:
    DelayingRelay(boost::asio::any_io_executor executor, std::uint16_t server_port,
                  std::chrono::milliseconds each_way);
    ~DelayingRelay();
    DelayingRelay(const DelayingRelay&) = delete;
    DelayingRelay& operator=(const DelayingRelay&) = delete;

    [[nodiscard]] std::uint16_t port() const;

  private:
    struct State;
    std::shared_ptr<State> state_;
};

} // namespace slotwitness::bench
