#pragma once

#include <slotwitness/profiles/profile.hpp>

#include <tl/expected.hpp>

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace slotwitness::program {

/// The bytes of a file ("-": standard input). The error names the file and why.
[[nodiscard]] tl::expected<std::string, std::string> read_file(const std::string& path);

/// False: the text could not be written whole.
[[nodiscard]] bool write_file(const std::string& path, const std::string& text);

/// Why there is no profile: a file that cannot be read, or what is wrong with what it says.
struct BadProfile {
    std::optional<std::string> unreadable;
    std::vector<state::Problem> problems;
};
/// A profile from its file and those that it is based on, whose names are relative to it.
[[nodiscard]] tl::expected<profiles::Profile, BadProfile> read_profile(const std::string& path);

/// The same; problems are printed to standard error. The error is the exit code.
[[nodiscard]] tl::expected<std::shared_ptr<const profiles::Profile>, int>
load_profile(const std::string& path);

} // namespace slotwitness::program
