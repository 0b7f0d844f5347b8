#pragma once

#include "http.hpp"

#include <slotwitness/desk/desk.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::api {

/// An error as RFC 9457 tells it, with the members that name place and remedy.
struct ProblemDetails {
    int status = 500;
    std::string
        kind; ///< the end of its type URI; empty is about:blank, whose title is the status phrase
    std::string detail;
    std::string
        field; ///< the member of the body or the header field that is wrong; empty: the whole
    state::Position
        at; ///< within the text of `field`, or within the body if there is none; 0: not known
    std::string found;
    std::string expected;
    std::string remedy;
    std::vector<std::string> reasons; ///< of /readyz
};

/// application/problem+json. `instance` is the path that was asked.
[[nodiscard]] Response to_response(const ProblemDetails& problem, std::string_view instance);

/// What the desk refused, by what the caller does about it: correct the request (4xx) or come again
/// (503).
[[nodiscard]] ProblemDetails to_problem(const desk::Refusal& refusal);

} // namespace slotwitness::api
