#pragma once

#include "router.hpp"
#include "stream.hpp"

namespace slotwitness::api {

/// GET /v1/procedures/{id}/evidence: the evidence pack as a tar stream, in the chunks of HTTP/1.1,
/// so that a client knows a stream that was cut.
[[nodiscard]] Next get_evidence(const Request& request, const Places& places,
                                const desk::Desk& desk);

/// The head of the response, without a body: as HEAD gets it.
[[nodiscard]] Response evidence_head(const Request& request, std::string_view id);

/// Writes the head and the pack, piece by piece, until its end, until the client leaves or reads
/// too slowly, until he may no longer, or until the server stops. The response if there is none to
/// write: nothing was written then. Call it as `answer`.
[[nodiscard]] boost::asio::awaitable<std::optional<Response>>
send_evidence(Client& client, Common& common, Request& request, SendEvidence evidence);

} // namespace slotwitness::api
