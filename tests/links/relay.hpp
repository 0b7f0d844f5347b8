#pragma once

#include <boost/asio/any_io_executor.hpp>

#include <cstddef>
#include <cstdint>
#include <memory>

namespace slotwitness::links::test {

/// What a relay does to a connection. A piece is what one read brings: on the loopback mostly what
/// the other side wrote at once.
struct Fault {
    enum class What {
        none,
        close,        ///< ends the connection in good order in place of the piece
        reset,        ///< resets it in place of the piece
        close_inside, ///< passes half of the piece on, then ends the connection
        stall,        ///< passes nothing more on in this direction; the connection stays
        split,        ///< passes the piece on byte by byte
        half_open,    ///< passes nothing more on in either direction; the connection stays
        drip,         ///< passes the piece and all that follows on, a byte now and then
        close_after,  ///< passes `piece` bytes on, then ends the connection
    };
    enum class Way { to_server, to_client };
    What what = What::none;
    Way way = Way::to_server;
    std::size_t piece = 1; ///< counts from 1; 0 with `split` means every piece
};

/// A TCP relay on 127.0.0.1 in front of a server, on the same loop as the client under test. Ends
/// with the object.
class Relay {
  public:
    Relay(boost::asio::any_io_executor executor, std::uint16_t server_port);
    ~Relay();
    Relay(const Relay&) = delete;
    Relay& operator=(const Relay&) = delete;

    [[nodiscard]] std::uint16_t port() const;
    /// For the next connection; those after it are passed on unharmed.
    void spoil_next(Fault fault);
    /// Whether the last fault has happened.
    [[nodiscard]] bool struck() const;
    /// From now on the connections there are stall this way.
    void stall(Fault::Way way);
    /// Pieces passed on that way by all connections.
    [[nodiscard]] std::size_t pieces(Fault::Way way) const;

  private:
    struct State;
    std::shared_ptr<State> state_;
};

} // namespace slotwitness::links::test
