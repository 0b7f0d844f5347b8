#pragma once

#include "router.hpp"

/// /v1/openapi.json: what this interface is, for programs that make clients of it.
namespace slotwitness::api {

/// api/openapi.json, compiled in.
[[nodiscard]] std::string_view contract_text();
[[nodiscard]] Next get_contract(const Request& request, const Places& places,
                                const desk::Desk& desk);

} // namespace slotwitness::api
