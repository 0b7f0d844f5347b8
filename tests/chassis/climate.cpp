#include "model.hpp"

#include <algorithm>

namespace slotwitness::chassis {

bool Model::there(const Sensor& sensor) const {
    switch (sensor.of) {
    case Sensor::Of::module:
        return find(modules_, &Module::slot, sensor.part)->seated;
    case Sensor::Of::supply:
        return find(supplies_, &Supply::slot, sensor.part)->seated;
    case Sensor::Of::inlet:
    case Sensor::Of::outlet:
    case Sensor::Of::humidity:
    case Sensor::Of::draw:
    case Sensor::Of::controller:
        return true;
    }
    return true;
}

double Model::target_of(const Sensor& sensor) const {
    const int missing = missing_trays();
    switch (sensor.of) {
    case Sensor::Of::inlet:
        return room_celsius_;
    case Sensor::Of::outlet:
        return room_celsius_ + 14 + 5 * missing;
    case Sensor::Of::humidity:
        return 41;
    case Sensor::Of::draw: {
        double watts = 900;
        for (const auto& module : modules_)
            if (module.condition != Condition::dark)
                watts += module.fabric ? 210 : 320;
        return watts;
    }
    case Sensor::Of::controller:
        return room_celsius_ + 20 + 2 * missing;
    case Sensor::Of::supply:
        return find(supplies_, &Supply::slot, sensor.part)->fed ? 230.2 : 0;
    case Sensor::Of::module: {
        const Module& module = *find(modules_, &Module::slot, sensor.part);
        if (module.condition == Condition::dark)
            return room_celsius_ + 6;
        if (!module.fabric)
            return room_celsius_ + 31 + 3 * missing;
        // Without the tray before it a fabric module ends above `too_hot_celsius`; the others gain
        // a little from the faster fans.
        if (!tray_before(module).seated)
            return room_celsius_ + 64;
        return room_celsius_ + 28 + module.position % 3 - missing;
    }
    }
    return 0;
}

std::map<std::string, AlarmRow> Model::alarms_due() const {
    std::map<std::string, AlarmRow> due;
    const auto raise = [&](std::string cause, Grade grade, std::string about, std::string text) {
        due.emplace(std::move(cause), AlarmRow{0, grade, std::move(about), std::move(text)});
    };
    for (const auto& tray : trays_)
        if (!tray.seated)
            raise("out " + tray.slot, Grade::major, tray.slot,
                  "Fan tray is not in its place. " + tray.cools.front() + " and " +
                      tray.cools.back() + " grow warm.");
    for (const auto& module : modules_) {
        if (!module.seated)
            raise("out " + module.slot, Grade::major, module.slot, "Module is not in its place.");
        else if (module.drive == Drive::released)
            raise("released " + module.slot, Grade::warning, module.slot, "Module was released.");
        else if (module.condition == Condition::proving || module.condition == Condition::unclear)
            raise("proving " + module.slot, Grade::warning, module.slot,
                  "Module is not running yet.");
    }
    for (const auto& plane : planes_) {
        const int paths = paths_of(plane);
        const std::string about = "plane " + plane.name;
        if (plane.drive == Drive::released)
            raise("released " + about, Grade::warning, about, "Plane was released.");
        else if (paths == 0)
            raise("dark " + about, Grade::critical, about, "Plane is dark: no path is left.");
        else if (paths < 2 * line_modules)
            raise("paths " + about, Grade::minor, about, "Plane has lost some of its paths.");
    }
    for (const auto& supply : supplies_)
        if (!supply.seated)
            raise("out " + supply.slot, Grade::major, supply.slot, "Supply is not in its place.");
        else if (!supply.fed)
            raise("unfed " + supply.slot, Grade::major, supply.slot, "Supply has lost its feed.");
    for (const auto& controller : controllers_)
        if (controller.role == Role::cold)
            raise("cold " + controller.slot, Grade::minor, controller.slot,
                  "Controller could not take the lead now.");
    for (const auto& sensor : sensors_) {
        if (sensor.unit != "C" || !there(sensor) || sensor.broken)
            continue;
        const double celsius = sensor.value.value(now_);
        const std::string about = sensor.part.empty() ? sensor.name : sensor.part;
        if (celsius >= too_hot_celsius)
            raise("too hot " + sensor.name, Grade::critical, about,
                  "Above 85 C at sensor " + sensor.name + ". It may be damaged.");
        else if (celsius >= hot_celsius)
            raise("hot " + sensor.name, Grade::major, about,
                  "Above 75 C at sensor " + sensor.name + ".");
    }
    return due;
}

} // namespace slotwitness::chassis
