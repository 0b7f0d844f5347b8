#pragma once

#include <slotwitness/keys/fields.hpp>
#include <slotwitness/links/link.hpp>

#include <filesystem>
#include <string>

namespace slotwitness::program {

/// A path of the configuration, which is relative to the configuration's folder.
[[nodiscard]] std::string beside(const std::filesystem::path& folder, const std::string& path);

/// How a chassis is reached, and what both sides show: address to host-keys in `[[chassis]]`.
[[nodiscard]] links::Target read_target(keys::Fields& fields, const std::filesystem::path& folder);

} // namespace slotwitness::program
