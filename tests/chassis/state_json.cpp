#include "state_json.hpp"

#include <nlohmann/json.hpp>

namespace slotwitness::chassis {
namespace {

using nlohmann::json;

template <class Rows, class ToJson>
json array_of(const Rows& rows, ToJson to_json) {
    json array = json::array();
    for (const auto& row : rows)
        array.push_back(to_json(row));
    return array;
}

json plane_json(const PlaneRow& row) {
    return {{"name", row.name},
            {"drive", to_word(row.drive)},
            {"condition", to_word(row.condition)},
            {"paths", row.paths},
            {"of", row.of},
            {"capacity_gbps", row.capacity_gbps},
            {"faults", row.faults}};
}

json module_json(const ModuleRow& row) {
    return {{"slot", row.slot},
            {"what", row.what},
            {"drive", to_word(row.drive)},
            {"condition", to_word(row.condition)},
            {"in_condition_s", row.in_condition_s},
            {"serial", row.serial},
            {"build", row.build},
            {"firmware", row.firmware},
            {"planes", row.planes},
            {"printed", row.printed}};
}

json tray_json(const TrayRow& row) {
    return {{"slot", row.slot},     {"condition", to_word(row.condition)},
            {"rpm", row.rpm},       {"cools", row.cools},
            {"serial", row.serial}, {"printed", row.printed}};
}

json sensor_json(const SensorRow& row) {
    return {{"name", row.name},
            {"sense", to_word(row.sense)},
            {"tenths", row.tenths ? json(*row.tenths) : json()},
            {"unit", row.unit}};
}

json port_json(const PortRow& row) {
    return {{"name", row.name},
            {"drive", to_word(row.drive)},
            {"condition", to_word(row.condition)},
            {"rate_gbps", row.rate_gbps},
            {"flaps", row.flaps},
            {"faults", row.faults}};
}

} // namespace

std::string state_json(const Snapshot& now, const std::vector<Fault>& faults) {
    const json state{
        {"done", true},
        {"name", now.chassis.name},
        {"serial", now.chassis.serial},
        {"at_ms", now.at.count()},
        {"load_gbps", now.chassis.load_gbps},
        {"planes", array_of(now.planes, plane_json)},
        {"modules", array_of(now.modules, module_json)},
        {"controllers", array_of(now.controllers,
                                 [](const ControllerRow& row) -> json {
                                     return {{"slot", row.slot},
                                             {"role", to_word(row.role)},
                                             {"condition", to_word(row.condition)},
                                             {"serial", row.serial}};
                                 })},
        {"trays", array_of(now.trays, tray_json)},
        {"supplies", array_of(now.supplies,
                              [](const SupplyRow& row) -> json {
                                  return {{"slot", row.slot},
                                          {"condition", to_word(row.condition)},
                                          {"watts", row.watts ? json(*row.watts) : json()},
                                          {"serial", row.serial}};
                              })},
        {"sensors", array_of(now.sensors, sensor_json)},
        {"ports", array_of(now.ports, port_json)},
        {"neighbours", array_of(now.neighbours,
                                [](const NeighbourRow& row) -> json {
                                    return {{"port", row.port},
                                            {"system", row.system},
                                            {"far_port", row.far_port},
                                            {"heard", to_word(row.hearing)}};
                                })},
        {"alarms", array_of(now.alarms,
                            [](const AlarmRow& row) -> json {
                                return {{"number", row.number},
                                        {"grade", to_word(row.grade)},
                                        {"about", row.about},
                                        {"text", row.text}};
                            })},
        {"faults", array_of(faults, [](const Fault& fault) -> json { return to_text(fault); })}};
    return state.dump();
}

} // namespace slotwitness::chassis
