#pragma once

#include "http.hpp"

#include <chrono>
#include <optional>
#include <span>
#include <string_view>

/// What the client would like: RFC 9110 §12 and RFC 7240.
namespace slotwitness::api {

/// The offer with the highest quality in Accept, the earlier one where two are equal; nothing if
/// none is acceptable (RFC 9110 §12.5.1). Without Accept it is the first.
[[nodiscard]] std::optional<std::string_view> negotiate(const Request& request,
                                                        std::span<const std::string_view> offers);

/// `Prefer: wait=N` (RFC 7240 §4.3), bounded to `longest_wait`; nothing if it is not asked for or
/// cannot be read: a preference that is not understood is not applied (RFC 7240 §2).
[[nodiscard]] std::optional<std::chrono::seconds> preferred_wait(const Request& request);

} // namespace slotwitness::api
