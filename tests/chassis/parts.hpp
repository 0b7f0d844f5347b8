#pragma once

#include "response.hpp"
#include "words.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

/// What a chassis consists of, as the model keeps it.
namespace slotwitness::chassis {

inline constexpr int line_modules = 8;
inline constexpr int fabric_modules = 6;
inline constexpr int fabric_planes = 6;
inline constexpr int ports_a_line_module = 4;
inline constexpr std::int64_t path_gbps = 200;
inline constexpr std::int64_t port_gbps = 400;
inline constexpr double hot_celsius = 75.0;
inline constexpr double too_hot_celsius = 85.0;

struct Plane {
    std::string name;
    Drive drive = Drive::engaged;
    std::optional<Time> due{}; ///< when it is released
    Time engaged_at{-3'600'000};
    std::int64_t faults = 0;
};

struct Module {
    std::string slot;
    bool fabric = false;
    int position = 0; ///< among its sort, from 0
    std::vector<std::string> planes{};
    std::string serial;
    std::string build;
    bool seated = true;
    Drive drive = Drive::engaged;
    Condition condition = Condition::running;
    Time since{-3'600'000};    ///< in this condition; before power-on: an hour ago
    std::optional<Time> due{}; ///< when its drive or condition goes on
};

struct Controller {
    std::string slot;
    Role role = Role::ready;
    std::string serial;
    std::optional<Time> due{}; ///< when a cold one is ready again
};

struct Tray {
    std::string slot;
    std::vector<std::string> cools;
    std::string serial;
    std::string printed;
    bool seated = true;
    std::optional<Time> due{}; ///< when its fans have come up to speed
    Response rpm;
};

struct Supply {
    std::string slot;
    std::string serial;
    bool seated = true;
    bool fed = true;
};

/// A sensor of the chassis itself, or of one part: it is there while the part is.
struct Sensor {
    enum class Of { inlet, outlet, humidity, draw, module, supply, controller };
    std::string name;
    Of of = Of::inlet;
    std::string part;
    std::string unit;
    Response value;
    std::optional<double> stuck{}; ///< what it tells, whatever the value is
    bool broken = false;
};

struct Port {
    std::string name;
    std::string line;
    std::string system;   ///< at its far end
    std::string far_port; ///< of that system
    Drive drive = Drive::engaged;
    bool up = true;
    bool silent = false; ///< the far end has light and says nothing
    std::int64_t flaps = 0;
    std::int64_t faults = 0;
};

[[nodiscard]] std::vector<Plane> new_planes();
[[nodiscard]] std::vector<Module> new_modules();
[[nodiscard]] std::vector<Controller> new_controllers();
[[nodiscard]] std::vector<Tray> new_trays();
[[nodiscard]] std::vector<Supply> new_supplies();
[[nodiscard]] std::vector<Sensor> new_sensors(Time cooling);
[[nodiscard]] std::vector<Port> new_ports();

/// The element whose `member` is `name`, or null.
template <class Parts, class Member>
[[nodiscard]] auto find(Parts& parts, Member member, std::string_view name)
    -> decltype(parts.data()) {
    for (auto& part : parts)
        if (part.*member == name)
            return &part;
    return nullptr;
}

} // namespace slotwitness::chassis
