#pragma once

#include "limits.hpp"
#include "rate.hpp"
#include "router.hpp"

#include <slotwitness/tokens/register.hpp>

#include <optional>

namespace slotwitness::api {

/// Who waits for his procedure is still told that it was closed; who comes then is not let in.
enum class Moment { coming, waiting };

/// Who comes in, and to what: bearer tokens (RFC 6750) and the roles of the routes.
class Door {
  public:
    /// Without a register everybody may do everything under the name of his address: for loopback
    /// alone. The register outlives the door.
    explicit Door(tokens::Register* tokens = nullptr, const ServerLimits& limits = {});

    /// Sets who asks; the response if he is not let in: 400, 401, 403, 429, or 503 while the tokens
    /// cannot be read. The request has a route.
    [[nodiscard]] std::optional<Response> turned_away(Request& request,
                                                      const std::optional<Found>& found,
                                                      const desk::Desk& desk, Rate::Time now);
    /// The same of one who was let in, after a wait: rights can end meanwhile.
    [[nodiscard]] std::optional<Response> no_longer_in(Request& request, const desk::Desk& desk);

    /// Null: without tokens.
    [[nodiscard]] tokens::Register* known_tokens() { return tokens_; }

  private:
    [[nodiscard]] tl::expected<tokens::Token, Response>
    identify(const Request& request, const desk::Desk& desk, Moment moment);
    [[nodiscard]] std::optional<Response> admit(Request& request, const std::optional<Found>& found,
                                                const desk::Desk& desk, Moment moment);

    tokens::Register* tokens_;
    Rate known_;
    Rate strangers_;
};

} // namespace slotwitness::api
