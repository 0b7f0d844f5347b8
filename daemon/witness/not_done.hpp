#pragma once

#include <slotwitness/state/problem.hpp>

#include <optional>
#include <string>
#include <utility>

namespace slotwitness::witness {

/// Why an act upon a procedure was not done; nothing if it was.
using Refused = std::optional<state::Problem>;

[[nodiscard]] inline state::Problem not_done(std::string found, std::string expected,
                                             std::string remedy) {
    return {"procedure", {}, std::move(found), std::move(expected), std::move(remedy)};
}

[[nodiscard]] inline Refused no_name(const std::string& by) {
    if (by.empty())
        return not_done("nobody's name", "who it is", "Say who does it.");
    return std::nullopt;
}

[[nodiscard]] inline Refused no_reason(const std::string& by, const std::string& reason) {
    if (auto refused = no_name(by))
        return refused;
    if (reason.empty())
        return not_done("no reason", "why", "Say in a sentence why.");
    return std::nullopt;
}

} // namespace slotwitness::witness
