#pragma once

#include <slotwitness/profiles/profile.hpp>

#include <filesystem>
#include <string>

namespace slotwitness::profiles {

/// A file below fixtures/; the test fails where it cannot be read.
[[nodiscard]] std::string fixture(const std::filesystem::path& path);
[[nodiscard]] Profile profile_of(const std::filesystem::path& path);

/// A reading as its fixture file holds it: a line a row, fact, unread line and remark.
[[nodiscard]] std::string to_text(const state::Reading& reading);

} // namespace slotwitness::profiles
