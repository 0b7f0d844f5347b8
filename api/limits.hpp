#pragma once

#include <chrono>
#include <cstddef>

namespace slotwitness::api {

/// Every bound of the server, in one place. Deadlines are absolute: each is set once for its phase,
/// so a client that sends a byte now and then gains nothing.
struct ServerLimits {
    /// Request line and fields: what servers commonly accept; ours need a few hundred bytes.
    std::size_t header_bytes = 8 * 1024;
    /// Chassis names and gate ids are short.
    std::size_t target_bytes = 2 * 1024;
    /// A gate with its longest sentence is below 2 KB.
    std::size_t body_bytes = 64 * 1024;
    /// Read ahead of the request at work: one whole request more than may be in hand.
    std::size_t pipelined_bytes = 72 * 1024;
    /// 10,000 that wait, and room for those who ask now.
    std::size_t connections = 12'000;
    /// TLS handshakes at a time: each costs some 1 ms of the one thread, and nobody is known
    /// before.
    std::size_t handshakes = 64;
    /// Requests with one token: so many at once, then one an interval. A page asks some times a
    /// second, a program that waits for gates less.
    std::size_t token_burst = 200;
    std::chrono::milliseconds token_interval{20};
    /// Of one address with tokens that are none: each is a line in the log.
    std::size_t stranger_burst = 20;
    std::chrono::milliseconds stranger_interval{1'000};
    /// Event streams of one asker at a time: a page has one or two.
    std::size_t streams = 32;
    /// Evidence packs that are being sent: each reads the whole journal of a chassis.
    std::size_t packs = 2;
    /// Between two signs of life on an event stream; proxies commonly give up after a minute
    /// (common practice, no source).
    std::chrono::milliseconds heartbeat{15'000};
    /// Askers whose pace is remembered.
    std::size_t askers = 1'024;
    /// Read and thrown away after a last response, so that a reset does not overtake it (RFC 9112
    /// §9.6).
    std::size_t drained_bytes = 256 * 1024;

    std::chrono::milliseconds handshake_time{10'000};
    std::chrono::milliseconds header_time{10'000};
    std::chrono::milliseconds body_time{10'000};
    /// One response to a client that reads slowly.
    std::chrono::milliseconds write_time{30'000};
    /// Until the first byte of a new connection: who connects has something to ask.
    std::chrono::milliseconds first_byte_time{10'000};
    /// Between two requests of one connection.
    std::chrono::milliseconds idle_time{75'000};
    std::chrono::milliseconds drain_time{2'000};
    /// From stop() until connections that have not ended are cut.
    std::chrono::milliseconds stop_time{5'000};
    /// Between a failed accept and the next: descriptors come back when connections end.
    std::chrono::milliseconds accept_pause{200};
};

/// The longest `Prefer: wait`: below the 5 min after which middleboxes commonly drop a silent
/// connection (common practice, no source).
inline constexpr std::chrono::seconds longest_wait{300};

} // namespace slotwitness::api
