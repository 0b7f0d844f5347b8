#pragma once

#include "hosts.hpp"
#include "http.hpp"
#include "limits.hpp"
#include "problem.hpp"

#include <slotwitness/desk/desk.hpp>

#include <tl/expected.hpp>

#include <chrono>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

/// The head of a message: request line and fields in, status line and fields out. Pure.
namespace slotwitness::api {

/// Where the head at the front of `bytes` ends, counted with its empty line; 0: more is needed. The
/// problem is told as soon as it shows: a line that ends in a bare LF, a NUL, a head over its
/// bounds.
[[nodiscard]] tl::expected<std::size_t, ProblemDetails> head_end(std::string_view bytes,
                                                                 const ServerLimits& limits);

struct Head {
    Request request;      ///< without body
    std::size_t body = 0; ///< its length
    bool keep_alive = true;
    bool expects_continue = false;
};

/// Reads one whole head and refuses what could be read in two ways: a folded line, a bare CR, any
/// Transfer-Encoding, a Content-Length that is not one plain number, a Host that is missing, double
/// or none of `hosts`.
[[nodiscard]] tl::expected<Head, ProblemDetails>
read_head(std::string_view head, const Hosts& hosts, const ServerLimits& limits);

/// The bytes of a response with the fields that all have. `date` is Unix time; a response to HEAD
/// and a 304 carry no body.
struct Framing {
    bool head_only = false;
    bool close = false;
    std::chrono::sys_seconds date{};
    bool secure = false; ///< it goes over TLS
};
/// What stands in Date now.
[[nodiscard]] std::chrono::sys_seconds date_of(const desk::Desk& desk);
[[nodiscard]] std::string to_bytes(const Response& response, const Framing& framing);
/// The same at the end of `bytes`: who sends much uses one buffer for all.
void append_bytes(std::string& bytes, const Response& response, const Framing& framing);

} // namespace slotwitness::api
