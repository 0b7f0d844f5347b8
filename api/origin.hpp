#pragma once

#include "problem.hpp"

#include <optional>

namespace slotwitness::api {

/// Why a request that changes something is not taken from a page of another origin (Origin, RFC
/// 6454 §7; Sec-Fetch-Site, W3C Fetch Metadata): 403. Programs that are no browser send neither.
[[nodiscard]] std::optional<ProblemDetails> of_another_origin(const Request& request);

} // namespace slotwitness::api
