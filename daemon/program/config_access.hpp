#pragma once

#include "config.hpp"

#include <slotwitness/keys/fields.hpp>

#include <tl/expected.hpp>

#include <filesystem>
#include <string>
#include <vector>

namespace slotwitness::program {

/// The error is one problem: the file cannot be read.
[[nodiscard]] tl::expected<keys::File, std::vector<state::Problem>>
read_config_file(const std::string& path);

inline constexpr unsigned highest_port = 65535;

/// Reads from [daemon] where the API listens and who may come in: listen, tokens, names,
/// [daemon.tls]. Paths are relative to the configuration's folder.
[[nodiscard]] AccessSettings read_access(keys::Fields& daemon, const std::filesystem::path& folder);

} // namespace slotwitness::program
