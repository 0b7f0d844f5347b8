#pragma once

#include "words.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace slotwitness::chassis {

struct ChassisRow {
    std::string name;
    std::string serial;
    std::string build;
    std::string software;
    std::int64_t running_for_s = 0;
    std::int64_t load_gbps = 0;
};

struct PlaneRow {
    std::string name;
    Drive drive = Drive::engaged;
    Condition condition = Condition::carrying;
    int paths = 0;
    int of = 0;
    std::int64_t capacity_gbps = 0;
    std::int64_t faults = 0;
};

struct ModuleRow {
    std::string slot;
    std::string what;
    Drive drive = Drive::engaged;
    Condition condition = Condition::running;
    std::int64_t in_condition_s = 0;
    std::string serial; ///< empty until the module has told it
    std::string build;
    std::string firmware;
    std::vector<std::string> planes;
    std::string printed;
};

struct ControllerRow {
    std::string slot;
    Role role = Role::ready;
    Condition condition = Condition::running;
    std::string serial;
};

struct TrayRow {
    std::string slot;
    Drive drive = Drive::engaged;
    Condition condition = Condition::running;
    std::int64_t rpm = 0;
    std::vector<std::string> cools;
    std::string serial;
    std::string printed;
};

struct SupplyRow {
    std::string slot;
    Condition condition = Condition::running;
    std::optional<std::int64_t> watts; ///< a dark supply tells none
    std::string serial;
};

struct SensorRow {
    std::string name;
    Sense sense = Sense::good;
    std::optional<std::int64_t> tenths; ///< in tenths of `unit`; an absent reading tells none
    std::string unit;
    std::optional<std::int64_t> limit; ///< in whole units: at that the gravest alarm is raised
};

struct PortRow {
    std::string name;
    Drive drive = Drive::engaged;
    Condition condition = Condition::running;
    std::int64_t rate_gbps = 0;
    std::int64_t flaps = 0;
    std::int64_t faults = 0;
};

/// Who is at the far end of a port that has light.
struct NeighbourRow {
    std::string port;
    std::string system;
    std::string far_port;
    Hearing hearing = Hearing::steady;
};

struct AlarmRow {
    int number = 0;
    Grade grade = Grade::minor;
    std::string about;
    std::string text;
};

/// All that a chassis could tell at one instant.
struct Snapshot {
    Time at{0};
    ChassisRow chassis;
    std::vector<PlaneRow> planes;
    std::vector<ModuleRow> modules;
    std::vector<ControllerRow> controllers;
    std::vector<TrayRow> trays;
    std::vector<SupplyRow> supplies;
    std::vector<SensorRow> sensors;
    std::vector<PortRow> ports;
    std::vector<NeighbourRow> neighbours;
    std::vector<AlarmRow> alarms;
};

} // namespace slotwitness::chassis
