#pragma once

#include <slotwitness/tokens/role.hpp>

#include <optional>
#include <string>

namespace slotwitness::api {

/// Who asks, as the door knows it.
struct Asker {
    /// The person of the token; the peer's address where there are no tokens.
    std::string name;
    std::string token;                ///< its id; empty where there are no tokens
    std::optional<tokens::Role> role; ///< none: where there are no tokens, everything
    [[nodiscard]] bool is(tokens::Role its) const { return role == its; }
};

} // namespace slotwitness::api
