#pragma once

#include "schema.hpp"

#include <span>

namespace slotwitness::profiles {

/// The document of a profile that rests on others, each value with the place where it stands.
/// Nothing where a file is not TOML; the problem is added. Takes at least one file.
[[nodiscard]] std::optional<toml::table> merged_document(std::span<const ProfileFile> files,
                                                         Problems& problems);

} // namespace slotwitness::profiles
