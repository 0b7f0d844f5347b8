#pragma once

#include "door.hpp"
#include "framing.hpp"
#include "hosts.hpp"
#include "limits.hpp"
#include "metrics.hpp"
#include "transport.hpp"

#include <slotwitness/desk/desk.hpp>

#include <boost/asio/awaitable.hpp>

#include <cstddef>
#include <map>
#include <string>

namespace slotwitness::api {

/// What all connections of a server share; outlives them.
struct Common {
    desk::Desk& desk;
    ServerLimits limits;
    Hosts hosts;
    Door door;
    bool stopping = false;
    std::map<std::string, std::size_t> streams; ///< under way, by asker
    Counts counts;
    std::size_t packs = 0;  ///< evidence packs that are being sent
    bool secure = false;    ///< every connection is TLS
    std::string outgoing{}; ///< where a response is written before it goes out

    /// Of a response that goes out now.
    [[nodiscard]] Framing framing(bool head_only, bool close) const {
        return {head_only, close, date_of(desk), secure};
    }
};

/// Serves one connection until the client is done, breaks the rules, is too slow, or the server
/// stops. Requests are answered one after the other, in their order. A terminal cancellation after
/// `stopping` was set ends it: idle at once, a wait with its present state, a response when it is
/// written. Never throws.
[[nodiscard]] boost::asio::awaitable<void> serve(Transport& transport, Common& common);

} // namespace slotwitness::api
