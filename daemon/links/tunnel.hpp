#pragma once

#include "session.hpp"

#include <boost/asio/local/stream_protocol.hpp>

#include <cstdint>
#include <memory>
#include <string>

struct ssh_channel_struct;
struct ssh_channel_callbacks_struct;

namespace slotwitness::links {

/// One direct-tcpip channel (RFC 4254, section 7.2) of a bastion's session, as a local socket: what
/// a session writes there comes out where the channel ends. It is the only kind of channel that is
/// ever opened on a bastion. Owned by the bastion's session.
class Tunnel final : public Tenant, public std::enable_shared_from_this<Tunnel> {
  public:
    /// `bastion` is serving; `traveller` is the session that goes through, and is ended if the
    /// bastion's session ends. At the deadline the channel is given up and the bastion's session
    /// goes on: others use it.
    [[nodiscard]] static boost::asio::awaitable<tl::expected<Stream, LinkError>>
    open(std::shared_ptr<Session> bastion, std::shared_ptr<Session> traveller, std::string host,
         std::uint16_t port, Deadline deadline);

    Tunnel(Session& bastion, std::weak_ptr<Session> traveller, std::string host,
           std::uint16_t port);
    ~Tunnel() override;
    Tunnel(const Tunnel&) = delete;
    Tunnel& operator=(const Tunnel&) = delete;

    bool advance() override;
    void session_ends(const LinkError& why) override;

  private:
    enum class State {
        opening,
        open,
        refused, ///< by the bastion, or by what is behind it
        closing,
        closed,
    };
    struct Callbacks;
    void ask_for_it();
    void ring_traveller() const;
    [[nodiscard]] tl::expected<Stream, LinkError> take_far_end();
    void read_near();
    void write_out();
    void push_in();
    void wait_near(boost::asio::socket_base::wait_type what, bool& armed);
    void hang_up();
    void close_further();
    void free();

    Session* bastion_; ///< null after its end
    std::weak_ptr<Session> traveller_;
    std::string host_;
    std::uint16_t port_;
    State state_ = State::opening;
    std::string complaint_;
    bool given_up_ = false;
    boost::asio::local::stream_protocol::socket near_;
    std::string outbound_; ///< from the traveller, not taken by the channel yet
    std::string inbound_;  ///< from the channel, not taken by the traveller yet
    bool ended_ = false;   ///< nothing more comes from the other side
    bool closed_by_peer_ = false;
    bool close_sent_ = false;
    bool read_armed_ = false;
    bool write_armed_ = false;
    std::unique_ptr<ssh_channel_callbacks_struct> callbacks_;
    ssh_channel_struct* raw_ = nullptr;
};

} // namespace slotwitness::links
