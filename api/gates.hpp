#pragma once

#include "answer.hpp"
#include "events.hpp"
#include "router.hpp"

#include <tl/expected.hpp>

#include <string_view>

/// /v1/gates. The desk checks what it gives against `valid_until`, as the response is made.
namespace slotwitness::api {

[[nodiscard]] Next get_gates(const Request& request, const Places& places, const desk::Desk& desk);
[[nodiscard]] Next get_gate(const Request& request, const Places& places, const desk::Desk& desk);
[[nodiscard]] Next post_gate(const Request& request, const Places& places, const desk::Desk& desk);
[[nodiscard]] Next delete_gate(const Request& request, const Places& places,
                               const desk::Desk& desk);

/// The gate as it is now: 200, 304 (If-None-Match) or 412, as JSON or text.
[[nodiscard]] Response gate_shown(const Request& request, std::string_view id,
                                  const desk::Desk& desk);

using GateDone = tl::expected<desk::GateView, desk::Refusal>;
/// 201 with Location and the gate, or the problem.
[[nodiscard]] Response gate_opened(const Request& request, const GateDone& done,
                                   units::Instant now);
/// 200 with the gate as its record stays, or the problem.
[[nodiscard]] Response gate_closed(const Request& request, const GateDone& done,
                                   units::Instant now);

[[nodiscard]] Next get_gate_changes(const Request& request, const Places& places,
                                    const desk::Desk& desk);
[[nodiscard]] SharedEvent gate_event(const desk::SharedView<desk::GateView>& view);

/// A gate as one line for a person, with a line feed. Control characters of the device become "?".
[[nodiscard]] std::string gate_line(const desk::GateView& view);

} // namespace slotwitness::api
