#include "model.hpp"

#include <utility>

namespace slotwitness::chassis {
namespace {

tl::unexpected<std::string> cannot(std::string why) {
    return tl::unexpected(std::move(why));
}

std::string quoted(std::string_view name) {
    return std::string("\"").append(name).append("\"");
}

tl::unexpected<std::string> no_such(Part part, std::string_view name, std::string_view names) {
    return cannot(std::string("no ")
                      .append(to_word(part))
                      .append(" ")
                      .append(quoted(name))
                      .append(", expected ")
                      .append(names));
}

tl::unexpected<std::string> only(Part part, std::string_view those, std::string_view done) {
    return cannot(std::string("a ")
                      .append(to_word(part))
                      .append(" cannot be ")
                      .append(done)
                      .append(", only ")
                      .append(those));
}

constexpr std::string_view plane_names = "1 to 6";
constexpr std::string_view module_names = "FAB1 to FAB6 or LINE1 to LINE8";
constexpr std::string_view tray_names = "TRAY1 to TRAY3";
constexpr std::string_view supply_names = "PSU1 to PSU4";
constexpr std::string_view port_names = "eth1 to eth32";
constexpr Time spin_up{3'000};

} // namespace

Model::Done Model::release(Part part, std::string_view name) {
    switch (part) {
    case Part::plane: {
        Plane* plane = find(planes_, &Plane::name, name);
        if (!plane)
            return no_such(part, name, plane_names);
        if (plane->drive != Drive::engaged)
            return cannot("plane " + plane->name + " is released already");
        plane->drive = Drive::easing;
        plane->due = now_ + fitting_.easing;
        break;
    }
    case Part::module: {
        Module* module = find(modules_, &Module::slot, name);
        if (!module)
            return no_such(part, name, module_names);
        if (!module->seated)
            return cannot("slot " + module->slot + " is empty: seat a module first");
        if (module->drive != Drive::engaged)
            return cannot(module->slot + " is released already");
        module->drive = Drive::easing;
        module->due = now_ + fitting_.easing;
        break;
    }
    case Part::port: {
        Port* port = find(ports_, &Port::name, name);
        if (!port)
            return no_such(part, name, port_names);
        if (port->drive != Drive::engaged)
            return cannot(port->name + " is released already");
        port->drive = Drive::released;
        break;
    }
    case Part::tray:
    case Part::supply:
    case Part::controller:
        return only(part, "a plane, module or port", "released");
    }
    settle();
    return {};
}

Model::Done Model::engage(Part part, std::string_view name) {
    switch (part) {
    case Part::plane: {
        Plane* plane = find(planes_, &Plane::name, name);
        if (!plane)
            return no_such(part, name, plane_names);
        if (plane->drive == Drive::engaged)
            return cannot("plane " + plane->name + " is engaged already");
        if (plane->drive == Drive::released)
            plane->engaged_at = now_;
        plane->drive = Drive::engaged;
        plane->due.reset();
        break;
    }
    case Part::module: {
        Module* module = find(modules_, &Module::slot, name);
        if (!module)
            return no_such(part, name, module_names);
        if (module->drive == Drive::engaged)
            return cannot(module->slot + " is engaged already");
        const bool must_boot = module->seated && module->condition != Condition::running;
        module->drive = Drive::engaged;
        module->due.reset();
        if (must_boot)
            boot(*module);
        break;
    }
    case Part::port: {
        Port* port = find(ports_, &Port::name, name);
        if (!port)
            return no_such(part, name, port_names);
        if (port->drive == Drive::engaged)
            return cannot(port->name + " is engaged already");
        port->drive = Drive::engaged;
        break;
    }
    case Part::tray:
    case Part::supply:
    case Part::controller:
        return only(part, "a plane, module or port", "engaged");
    }
    settle();
    return {};
}

Model::Done Model::lead(std::string_view name) {
    Controller* controller = find(controllers_, &Controller::slot, name);
    if (!controller)
        return no_such(Part::controller, name, "CTL0 or CTL1");
    if (controller->role == Role::leading)
        return cannot(controller->slot + " leads already");
    if (controller->role == Role::cold)
        return cannot(controller->slot + " is cold: wait until it is ready");
    for (auto& other : controllers_)
        if (other.role == Role::leading) {
            other.role = Role::cold;
            other.due = now_ + fitting_.boot;
        }
    controller->role = Role::leading;
    settle();
    return {};
}

Model::Done Model::pull(Part part, std::string_view name) {
    switch (part) {
    case Part::module:
        return pull_module(name);
    case Part::tray: {
        Tray* tray = find(trays_, &Tray::slot, name);
        if (!tray)
            return no_such(part, name, tray_names);
        if (!tray->seated)
            return cannot(tray->slot + " is out already");
        tray->seated = false;
        tray->due.reset();
        tray->rpm.set(0, now_);
        break;
    }
    case Part::supply: {
        Supply* supply = find(supplies_, &Supply::slot, name);
        if (!supply)
            return no_such(part, name, supply_names);
        if (!supply->seated)
            return cannot(supply->slot + " is out already");
        supply->seated = false;
        break;
    }
    case Part::plane:
    case Part::port:
    case Part::controller:
        return only(part, "a tray, module or supply", "pulled");
    }
    settle();
    return {};
}

Model::Done Model::pull_module(std::string_view name) {
    Module* module = find(modules_, &Module::slot, name);
    if (!module)
        return no_such(Part::module, name, module_names);
    if (!module->seated)
        return cannot(module->slot + " is out already");
    if (module->fabric && tray_before(*module).seated)
        return cannot(module->slot + " stands behind " + tray_before(*module).slot +
                      ": pull the tray first");
    // A module that leaves with traffic on it damages what was under way on its planes.
    if (module->condition == Condition::running)
        for (const auto& name_of_plane : module->planes)
            if (Plane* plane = find(planes_, &Plane::name, name_of_plane);
                plane->drive == Drive::engaged)
                plane->faults += 128;
    if (module->drive == Drive::easing)
        module->drive = Drive::released;
    module->seated = false;
    module->condition = Condition::dark;
    module->since = now_;
    module->due.reset();
    settle();
    return {};
}

Model::Done Model::seat(Part part, std::string_view name, std::optional<std::string> serial,
                        std::optional<std::string> build) {
    if (build && part != Part::module)
        return cannot("only a module has a build");
    switch (part) {
    case Part::module:
        return seat_module(name, std::move(serial), std::move(build));
    case Part::tray: {
        Tray* tray = find(trays_, &Tray::slot, name);
        if (!tray)
            return no_such(part, name, tray_names);
        if (tray->seated)
            return cannot(tray->slot + " is in its place already");
        tray->seated = true;
        tray->due = now_ + spin_up;
        tray->serial = serial.value_or(tray->serial);
        break;
    }
    case Part::supply: {
        Supply* supply = find(supplies_, &Supply::slot, name);
        if (!supply)
            return no_such(part, name, supply_names);
        if (supply->seated)
            return cannot(supply->slot + " is in its place already");
        supply->seated = true;
        supply->serial = serial.value_or(supply->serial);
        break;
    }
    case Part::plane:
    case Part::port:
    case Part::controller:
        return only(part, "a tray, module or supply", "seated");
    }
    settle();
    return {};
}

Model::Done Model::seat_module(std::string_view name, std::optional<std::string> serial,
                               std::optional<std::string> build) {
    Module* module = find(modules_, &Module::slot, name);
    if (!module)
        return no_such(Part::module, name, module_names);
    if (module->seated)
        return cannot(module->slot + " is taken: pull the module there first");
    if (module->fabric && tray_before(*module).seated)
        return cannot(module->slot + " stands behind " + tray_before(*module).slot +
                      ": pull the tray first");
    module->seated = true;
    module->serial = serial.value_or(module->serial);
    module->build = build.value_or(module->build);
    module->since = now_;
    for (auto& sensor : sensors_)
        if (sensor.of == Sensor::Of::module && sensor.part == module->slot)
            sensor.value.set(room_celsius_, now_);
    // The chassis has seen that something is there, and not yet what it is.
    if (module->drive == Drive::engaged) {
        module->condition = Condition::unclear;
        module->due = now_ + fitting_.boot / 10;
    }
    settle();
    return {};
}

Model::Done Model::flap(std::string_view name) {
    Port* port = find(ports_, &Port::name, name);
    if (!port)
        return no_such(Part::port, name, port_names);
    if (!port->up)
        return cannot(port->name + " has no light to lose: its drive or its module is dark");
    port->flaps += 2;
    port->faults += 3;
    return {};
}

Model::Done Model::cross(std::string_view name, std::string_view other) {
    Port* port = find(ports_, &Port::name, name);
    Port* second = find(ports_, &Port::name, other);
    if (!port || !second)
        return no_such(Part::port, port ? other : name, port_names);
    std::swap(port->system, second->system);
    std::swap(port->far_port, second->far_port);
    std::swap(port->silent, second->silent);
    for (Port* each : {port, second})
        if (each->up)
            each->flaps += 2;
    return {};
}

Model::Done Model::break_sensor(std::string_view name, bool broken) {
    Sensor* sensor = find(sensors_, &Sensor::name, name);
    if (!sensor)
        return cannot("no sensor " + quoted(name) + ", expected one that `tell sensors` lists");
    sensor->broken = broken;
    if (!broken)
        sensor->stuck.reset();
    return {};
}

Model::Done Model::stick_sensor(std::string_view name, double value) {
    Sensor* sensor = find(sensors_, &Sensor::name, name);
    if (!sensor)
        return cannot("no sensor " + quoted(name) + ", expected one that `tell sensors` lists");
    sensor->stuck = value;
    return {};
}

Model::Done Model::break_feed(std::string_view name, bool broken) {
    Supply* supply = find(supplies_, &Supply::slot, name);
    if (!supply)
        return no_such(Part::supply, name, supply_names);
    supply->fed = !broken;
    settle();
    return {};
}

Model::Done Model::break_neighbour(std::string_view port, bool broken) {
    Port* found = find(ports_, &Port::name, port);
    if (!found)
        return no_such(Part::port, port, port_names);
    found->silent = broken;
    return {};
}

void Model::offer_load(std::int64_t gbps) {
    load_gbps_ = gbps;
}

void Model::set_room(double celsius) {
    room_celsius_ = celsius;
    settle();
}

} // namespace slotwitness::chassis
