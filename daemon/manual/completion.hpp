#pragma once

#include "command_line.hpp"

#include <string>

namespace slotwitness::manual {

/// A script that a shell reads, and that completes verbs, options, files, words of a choice, and
/// the names of chassis from the configuration that stands before.
[[nodiscard]] std::string bash_completion(const CommandLine& line);
[[nodiscard]] std::string zsh_completion(const CommandLine& line);

} // namespace slotwitness::manual
