#pragma once

#include "config.hpp"

#include <tl/expected.hpp>

#include <cstddef>
#include <string>

namespace slotwitness::program {

/// How a phone reaches the daemon, such as "https://watch.example.net:8443": as `given` on the
/// command line, or else as the configuration tells it. The error is a sentence with its remedy.
[[nodiscard]] tl::expected<std::string, std::string>
address_for_phones(const AccessSettings& access, const std::string& given);

/// The page of one procedure. The token stands in the fragment: no browser sends it, no proxy logs
/// it.
[[nodiscard]] std::string rack_address(const std::string& daemon, const std::string& procedure,
                                       const std::string& token);

/// The address with its QR code, as lines of text; the code is left out with a remark where so many
/// columns have no room for it (0: as many as it takes).
[[nodiscard]] std::string shown_to_camera(const std::string& address, std::size_t columns);

} // namespace slotwitness::program
