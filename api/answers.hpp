#pragma once

#include "router.hpp"

/// /v1/chassis/{name}/answers: the newest answer to each query, line by line with what became of
/// each, so that any fact can be seen where the device printed it.
namespace slotwitness::api {

[[nodiscard]] Next get_answers(const Request& request, const Places& places,
                               const desk::Desk& desk);
[[nodiscard]] Next get_answer(const Request& request, const Places& places, const desk::Desk& desk);

} // namespace slotwitness::api
