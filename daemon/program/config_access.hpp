#pragma once

#include "config.hpp"

#include <slotwitness/keys/fields.hpp>

#include <functional>

namespace slotwitness::program {

inline constexpr unsigned highest_port = 65535;

/// Reads from [daemon] where the API listens and who may come in: listen, tokens, names,
/// [daemon.tls]. `beside` resolves a path of the file.
[[nodiscard]] AccessSettings
read_access(keys::Fields& daemon, const std::function<std::string(const std::string&)>& beside);

} // namespace slotwitness::program
