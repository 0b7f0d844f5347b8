#pragma once

#include "transport.hpp"

#include <boost/asio/ip/tcp.hpp>
#include <tl/expected.hpp>

#include <memory>
#include <string>

namespace slotwitness::api {

class Deadlines;

/// TLS 1.2 and 1.3 with a certificate of one's own, as RFC 9325 would have them.
class Tls {
  public:
    virtual ~Tls() = default;
    /// A transport over an accepted connection; its `begin` is the handshake.
    [[nodiscard]] virtual std::unique_ptr<Transport>
    secure(boost::asio::ip::tcp::socket socket, std::string peer, Deadlines& deadlines) = 0;
};

/// `certificate`: PEM, the server's own first, then those that vouch for it; `key`: PEM, without
/// passphrase. The error is a sentence with its remedy.
[[nodiscard]] tl::expected<std::unique_ptr<Tls>, std::string>
load_tls(const std::string& certificate, const std::string& key);

} // namespace slotwitness::api
