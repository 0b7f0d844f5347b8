#pragma once

#include <tl/expected.hpp>

#include <string>

namespace slotwitness::scenario {

/// Sends one line to the simulated chassis' control socket and returns its answer line; blocks.
/// The error is what the chassis or the system said.
[[nodiscard]] tl::expected<std::string, std::string> control(const std::string& socket,
                                                             const std::string& line);

} // namespace slotwitness::scenario
