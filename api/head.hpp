#pragma once

#include "hosts.hpp"
#include "http.hpp"
#include "limits.hpp"
#include "problem.hpp"

#include <tl/expected.hpp>

#include <cstddef>
#include <string_view>

/// The head of a request, as it came. Pure.
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

} // namespace slotwitness::api
