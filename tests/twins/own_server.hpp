#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <sys/types.h>
#include <vector>

namespace slotwitness::twins {

// What private servers of a test have in common.

[[nodiscard]] std::string text_of(const std::filesystem::path& file);
/// Aborts the test program.
[[noreturn]] void die(const std::string& why);
[[nodiscard]] std::filesystem::path new_directory(const std::string& name);
/// Of 127.0.0.1; another program may take it before it is used.
[[nodiscard]] std::uint16_t free_port();
/// Connects, and waits for the first bytes of an SSH greeting.
[[nodiscard]] bool greets(std::uint16_t port, const std::string& at = "127.0.0.1");
/// The processes below this one, deepest last.
[[nodiscard]] std::vector<pid_t> descendants(pid_t of);
/// Kills the server and its sessions.
void end_server(pid_t process);

} // namespace slotwitness::twins
