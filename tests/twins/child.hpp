#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <sys/types.h>
#include <vector>

namespace slotwitness::twins {

/// Starts a program and returns when the file `sign` is there, which the program makes once it
/// serves: no polling for it. Nothing if the program ended instead, or makes none in half a minute.
/// Its output goes to `output`. A test program that is killed takes it with it.
[[nodiscard]] std::optional<pid_t> start_until(const std::vector<std::string>& command,
                                               const std::filesystem::path& sign,
                                               const std::filesystem::path& output);

} // namespace slotwitness::twins
