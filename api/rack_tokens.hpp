#pragma once

#include "answer.hpp"
#include "router.hpp"

#include <slotwitness/tokens/register.hpp>

#include <boost/asio/awaitable.hpp>

/// POST /v1/procedures/{id}/rack-tokens: what an engineer hands out to the person at the rack, as
/// an address with its QR code.
namespace slotwitness::api {

[[nodiscard]] Next post_rack_token(const Request& request, const Places& places,
                                   const desk::Desk& desk);

/// Makes and keeps it, and tells it this once. Null: the daemon keeps no tokens, which is a
/// problem. The file is written beside the loop. Call it as `answer`.
[[nodiscard]] boost::asio::awaitable<Response>
rack_token_made(const Request& request, MakeRackToken wanted, tokens::Register* known);

} // namespace slotwitness::api
