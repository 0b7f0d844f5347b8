#pragma once

#include <slotwitness/profiles/profile.hpp>

#include <tl/expected.hpp>

#include <memory>
#include <string>

namespace slotwitness::program {

/// The bytes of a file ("-": standard input). The error names the file and why.
[[nodiscard]] tl::expected<std::string, std::string> read_file(const std::string& path);

/// A profile from its file; problems are printed to standard error. The error is the exit code.
[[nodiscard]] tl::expected<std::shared_ptr<const profiles::Profile>, int>
load_profile(const std::string& path);

} // namespace slotwitness::program
