#pragma once

#include <chrono>
#include <string_view>

/// The simulated chassis of the invented Quillon family. Everything in this folder is pure: no
/// socket, clock or thread; `server/` puts it on the network.
namespace slotwitness::chassis {

/// Virtual time since the chassis was powered on, in whole milliseconds.
using Time = std::chrono::milliseconds;

enum class Drive { engaged, easing, released };
enum class Condition { running, carrying, dark, proving, unclear };
enum class Role { leading, ready, cold };
enum class Grade { critical, major, minor, warning };
enum class Sense { good, away, wrong };
/// Whether the far end of a port still tells of itself.
enum class Hearing { steady, silent };
/// What an order can be about.
enum class Part { plane, module, port, tray, supply, controller };

[[nodiscard]] std::string_view to_word(Drive value);
[[nodiscard]] std::string_view to_word(Condition value);
[[nodiscard]] std::string_view to_word(Role value);
[[nodiscard]] std::string_view to_word(Grade value);
[[nodiscard]] std::string_view to_word(Sense value);
[[nodiscard]] std::string_view to_word(Hearing value);
[[nodiscard]] std::string_view to_word(Part value);

} // namespace slotwitness::chassis
