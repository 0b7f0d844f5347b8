#pragma once

#include "config.hpp"

#include <slotwitness/keys/fields.hpp>

#include <filesystem>

namespace slotwitness::program {

inline constexpr unsigned highest_port = 65535;

/// Reads from [daemon] where the API listens and who may come in: listen, tokens, names,
/// [daemon.tls]. Paths are relative to the configuration's folder.
[[nodiscard]] AccessSettings read_access(keys::Fields& daemon, const std::filesystem::path& folder);

} // namespace slotwitness::program
