#pragma once

#include "keys.hpp"
#include "ssh_session.hpp"

#include <slotwitness/chassis/device.hpp>

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/steady_timer.hpp>
#include <libssh/server.h>

#include <cstdint>
#include <map>
#include <memory>
#include <string>

namespace slotwitness::chassis {

class Recorder;
class VirtualClock;

/// What the listeners of one program share; it outlives them.
struct Site {
    boost::asio::io_context& io;
    const VirtualClock& clock;
    Recorder& recorder;
    const std::vector<Key>& authorized;
    std::uint64_t sessions_ever = 0;
};

/// One chassis on the network: accepts on a loopback port and runs a session for each connection.
class SshListener {
  public:
    /// Takes a host key. Call `open` before anything else.
    SshListener(Site& site, Device& device, Key host_key, bool has_shells = false);
    ~SshListener();
    SshListener(const SshListener&) = delete;
    SshListener& operator=(const SshListener&) = delete;

    /// Listens on 127.0.0.1 at `port`, or at one that the system chooses for 0. The error names the
    /// port.
    [[nodiscard]] tl::expected<std::uint16_t, std::string> open(std::uint16_t port);

    /// The key that new connections meet, unless a fault changes it.
    [[nodiscard]] const std::string& host_key() const { return host_key_; }

    void drop_sessions();
    /// What the chassis says unasked, in all its shells.
    void remark(const std::string& text);
    /// Accepts no more and drops all sessions.
    void close();

  private:
    struct FreeBind {
        void operator()(ssh_bind bind) const { ssh_bind_free(bind); }
    };
    using Bind = std::unique_ptr<ssh_bind_struct, FreeBind>;
    /// Takes a host key; null if the library refuses it.
    [[nodiscard]] static Bind new_bind(Key host_key);

    void accept();
    void begin(boost::asio::ip::tcp::socket socket);

    Site& site_;
    Device& device_;
    std::string host_key_;
    bool has_shells_;
    Bind usual_;
    Bind changed_; ///< with another host key
    boost::asio::ip::tcp::acceptor acceptor_;
    boost::asio::steady_timer pause_;
    std::map<std::uint64_t, std::weak_ptr<SshSession>> sessions_;
};

} // namespace slotwitness::chassis
