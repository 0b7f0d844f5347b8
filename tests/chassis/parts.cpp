#include "parts.hpp"

#include <algorithm>
#include <string_view>

namespace slotwitness::chassis {
namespace {

std::string numbered(std::string_view stem, int number) {
    return std::string(stem) + std::to_string(number);
}

} // namespace

std::vector<Plane> new_planes() {
    std::vector<Plane> planes;
    for (int number = 1; number <= fabric_planes; ++number)
        planes.push_back({.name = std::to_string(number)});
    return planes;
}

// Fabric module n serves planes n and n + 1 (the last one serves the last plane and the first), so
// that each plane is served by two modules and no module can go without two planes noticing.
std::vector<Module> new_modules() {
    std::vector<Module> modules;
    for (int index = 0; index < fabric_modules; ++index) {
        const int next = (index + 1) % fabric_planes;
        std::vector<std::string> planes{std::to_string(std::min(index, next) + 1),
                                        std::to_string(std::max(index, next) + 1)};
        modules.push_back({.slot = numbered("FAB", index + 1),
                           .fabric = true,
                           .position = index,
                           .planes = std::move(planes),
                           .serial = numbered("QL401000", 11 + index),
                           .build = "R3"});
    }
    for (int index = 0; index < line_modules; ++index)
        modules.push_back({.slot = numbered("LINE", index + 1),
                           .position = index,
                           .serial = numbered("QL402000", 21 + index),
                           .build = "R5"});
    return modules;
}

std::vector<Controller> new_controllers() {
    return {{.slot = "CTL0", .role = Role::leading, .serial = "QL40300041"},
            {.slot = "CTL1", .role = Role::ready, .serial = "QL40300042"}};
}

std::vector<Tray> new_trays() {
    std::vector<Tray> trays;
    for (int number = 1; number <= 3; ++number)
        trays.push_back({.slot = numbered("TRAY", number),
                         .cools = {numbered("FAB", 2 * number - 1), numbered("FAB", 2 * number)},
                         .serial = numbered("QL404000", 50 + number),
                         .printed = numbered("REAR FAN ", number),
                         .rpm = Response(5'400, Time{4'000})});
    return trays;
}

std::vector<Supply> new_supplies() {
    std::vector<Supply> supplies;
    for (int number = 1; number <= 4; ++number)
        supplies.push_back(
            {.slot = numbered("PSU", number), .serial = numbered("QL405000", 60 + number)});
    return supplies;
}

std::vector<Sensor> new_sensors(Time cooling) {
    const Time quick{1'500};
    std::vector<Sensor> sensors;
    const auto add = [&](std::string name, Sensor::Of of, std::string part, std::string unit,
                         Time constant) {
        sensors.push_back(
            {std::move(name), of, std::move(part), std::move(unit), Response(0, constant)});
    };
    add("inlet", Sensor::Of::inlet, "", "C", cooling);
    add("outlet", Sensor::Of::outlet, "", "C", cooling);
    add("humidity", Sensor::Of::humidity, "", "%", cooling);
    add("draw", Sensor::Of::draw, "", "W", quick);
    for (int number = 1; number <= fabric_modules; ++number)
        add(numbered("FAB", number) + "-core", Sensor::Of::module, numbered("FAB", number), "C",
            cooling);
    for (int number = 1; number <= line_modules; ++number)
        add(numbered("LINE", number) + "-core", Sensor::Of::module, numbered("LINE", number), "C",
            cooling);
    for (int number = 0; number < 2; ++number)
        add(numbered("CTL", number) + "-core", Sensor::Of::controller, numbered("CTL", number), "C",
            cooling);
    for (int number = 1; number <= 4; ++number)
        add(numbered("PSU", number) + "-in", Sensor::Of::supply, numbered("PSU", number), "V",
            quick);
    return sensors;
}

// The ports of one line module go to four systems, so that no module can go and take all of one.
std::vector<Port> new_ports() {
    std::vector<Port> ports;
    for (int index = 0; index < line_modules * ports_a_line_module; ++index)
        ports.push_back({.name = numbered("eth", index + 1),
                         .line = numbered("LINE", index / ports_a_line_module + 1),
                         .system = numbered("ridge-", index % ports_a_line_module + 1),
                         .far_port = numbered("p", index / ports_a_line_module + 1)});
    return ports;
}

} // namespace slotwitness::chassis
