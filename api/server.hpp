#pragma once

#include "limits.hpp"
#include "tls.hpp"

#include <slotwitness/desk/desk.hpp>
#include <slotwitness/tokens/register.hpp>

#include <boost/asio/any_io_executor.hpp>
#include <tl/expected.hpp>

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::api {

/// Who may reach the server, and how.
struct Access {
    /// Outlives the server. Null: everybody may do everything, and so loopback alone is listened
    /// on.
    tokens::Register* tokens = nullptr;
    std::unique_ptr<Tls> tls;       ///< null: plain, and so loopback or a Unix socket alone
    std::vector<std::string> names; ///< by which people call it, beside its addresses
};

/// The HTTP/1.1 server (RFC 9110, RFC 9112). All calls come from the thread that runs `executor`,
/// or from before it runs; `desk` outlives the server and every connection that stop() waits for.
class Server {
  public:
    Server(boost::asio::any_io_executor executor, desk::Desk& desk, ServerLimits limits = {},
           Access access = {});
    /// Cuts what stop() has not ended.
    ~Server();
    Server(const Server&) = delete;
    Server& operator=(const Server&) = delete;

    /// Binds and accepts; may be called for several addresses. Port 0 takes any; the port taken is
    /// returned. The error is a sentence with its remedy: an address that is none, one that is no
    /// loopback one without TLS and tokens, a port in use.
    [[nodiscard]] tl::expected<std::uint16_t, std::string> listen(std::string_view address,
                                                                  std::uint16_t port);

    /// The same on a Unix socket, which the user and the group may use; with tokens alone.
    [[nodiscard]] tl::expected<void, std::string> listen_on_socket(const std::string& path);

    /// From the next connection on another certificate; those that there are keep theirs. Only of
    /// a server that began with one.
    void use(std::unique_ptr<Tls> tls);

    /// Accepts no more, ends idle connections, answers those that wait with the present state, lets
    /// responses be written, and cuts what is left after `stop_time`. Returns at once; when all
    /// connections have ended nothing of the server is left on the executor.
    void stop();

    [[nodiscard]] std::size_t connections() const;

  private:
    class Impl;
    std::shared_ptr<Impl> impl_;
};

} // namespace slotwitness::api
