#pragma once

#include "link.hpp"

#include <boost/asio/local/stream_protocol.hpp>
#include <boost/asio/steady_timer.hpp>

#include <memory>
#include <string>

namespace slotwitness::links {

/// One key that an SSH agent holds, as an agent of its own: libssh, which would offer the device
/// all that an agent has, one refusal after the other, is shown this key alone. Only requests for
/// its signature reach the real agent. One strand.
class AgentKey : public std::enable_shared_from_this<AgentKey> {
  public:
    /// Reads the target's public key and connects to its agent. The error, of kind `own_files`,
    /// says what to mend.
    [[nodiscard]] static tl::expected<std::shared_ptr<AgentKey>, LinkError>
    open(boost::asio::any_io_executor executor, const Target& target);

    /// The end that libssh speaks to, as a descriptor whose owner the caller is; it serves from
    /// now on, until `close`. Negative if none is left.
    [[nodiscard]] int serve();
    /// Whoever reads at the other end finds its end.
    void close();
    /// Why there was no signature; empty if none was asked for, or it was given.
    [[nodiscard]] const std::string& trouble() const { return trouble_; }

  private:
    using Socket = boost::asio::local::stream_protocol::socket;
    AgentKey(boost::asio::any_io_executor executor, std::string blob, std::string name);
    [[nodiscard]] static boost::asio::awaitable<void> run(std::shared_ptr<AgentKey> self);
    [[nodiscard]] boost::asio::awaitable<std::string> answer(std::string request);

    Socket near_;
    Socket agent_;
    std::string blob_; ///< the public key, as the protocol has it
    std::string name_; ///< of key and agent, for messages
    std::string trouble_;
};

} // namespace slotwitness::links
