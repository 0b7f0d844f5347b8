#include "model.hpp"

#include <algorithm>
#include <cmath>

namespace slotwitness::chassis {
namespace {

std::int64_t whole_seconds(Time time) {
    return time.count() / 1'000;
}

std::string what_is(const Module& module) {
    return module.fabric ? "Fabric module, serves two planes of 3.2 Tb/s"
                         : "Line module, four ports of 400 Gb/s";
}

std::string printed_at(const Module& module) {
    std::string side = module.fabric ? "REAR " : "FRONT ";
    return side.append(std::to_string(module.position + 1));
}

std::string unless(bool hidden, const std::string& text) {
    return hidden ? std::string() : text;
}

} // namespace

Snapshot Model::snapshot() const {
    Snapshot into;
    into.at = now_;
    for (const auto& plane : planes_) {
        const int paths = paths_of(plane);
        into.planes.push_back({plane.name, plane.drive,
                               paths > 0 ? Condition::carrying : Condition::dark, paths,
                               2 * line_modules, paths * path_gbps, plane.faults});
    }
    photograph_modules(into);
    photograph_rest(into);

    std::int64_t capacity = 0;
    for (const auto& plane : into.planes)
        capacity += plane.capacity_gbps;
    // It had been running for ten days when the simulation began.
    constexpr std::int64_t before = 864'000;
    into.chassis = {fitting_.name,
                    fitting_.serial,
                    "Q-4000 R2",
                    "Quillon 7.2.1",
                    before + whole_seconds(now_),
                    std::min(load_gbps_, capacity)};
    return into;
}

void Model::photograph_modules(Snapshot& into) const {
    for (const auto& module : modules_) {
        if (!module.seated)
            continue;
        // What the chassis has not read yet, or cannot from a module without power, it does not
        // tell.
        const bool unread = module.condition == Condition::unclear;
        into.modules.push_back({module.slot, what_is(module), module.drive, module.condition,
                                whole_seconds(now_ - module.since), unless(unread, module.serial),
                                unless(unread, module.build), unless(unread, "QF-7.2.1"),
                                module.planes, printed_at(module)});
    }
}

void Model::photograph_rest(Snapshot& into) const {
    for (const auto& controller : controllers_)
        into.controllers.push_back({controller.slot, controller.role,
                                    controller.due ? Condition::proving : Condition::running,
                                    controller.serial});
    for (const auto& tray : trays_)
        if (tray.seated)
            into.trays.push_back(
                {tray.slot, Drive::engaged, tray.due ? Condition::proving : Condition::running,
                 std::lround(tray.rpm.value(now_)), tray.cools, tray.serial, tray.printed});
    const auto draw = find(sensors_, &Sensor::name, "draw")->value.value(now_);
    const auto giving = std::count_if(supplies_.begin(), supplies_.end(), [](const Supply& supply) {
        return supply.seated && supply.fed;
    });
    for (const auto& supply : supplies_) {
        if (!supply.seated)
            continue;
        SupplyRow row{supply.slot, Condition::dark, std::nullopt, supply.serial};
        if (supply.fed) {
            row.condition = Condition::running;
            row.watts = std::lround(draw / static_cast<double>(giving));
        }
        into.supplies.push_back(std::move(row));
    }
    for (const auto& sensor : sensors_) {
        if (!there(sensor))
            continue;
        const Module* module =
            sensor.of == Sensor::Of::module ? find(modules_, &Module::slot, sensor.part) : nullptr;
        const bool away = module && (module->condition == Condition::unclear);
        SensorRow row{
            sensor.name, Sense::good,
            std::lround(sensor.stuck.value_or(sensor.value.value(now_)) * 10), sensor.unit,
            sensor.unit == "C" ? std::optional(std::lround(too_hot_celsius)) : std::nullopt};
        if (sensor.broken)
            row.sense = Sense::wrong;
        else if (away)
            row.sense = Sense::away;
        if (row.sense != Sense::good)
            row.tenths.reset();
        into.sensors.push_back(std::move(row));
    }
    for (const auto& port : ports_)
        into.ports.push_back({port.name, port.drive, port.up ? Condition::running : Condition::dark,
                              port_gbps, port.flaps, port.faults});
    for (const auto& port : ports_)
        if (port.up)
            into.neighbours.push_back({port.name, port.system, port.far_port,
                                       port.silent ? Hearing::silent : Hearing::steady});
    for (const auto& [cause, alarm] : alarms_)
        into.alarms.push_back(alarm);
    std::sort(
        into.alarms.begin(), into.alarms.end(),
        [](const AlarmRow& left, const AlarmRow& right) { return left.number < right.number; });
}

} // namespace slotwitness::chassis
