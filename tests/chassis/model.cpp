#include "model.hpp"

#include <algorithm>

namespace slotwitness::chassis {
namespace {

using std::chrono::seconds;

void keep_earliest_after(Time now, std::optional<Time>& earliest, std::optional<Time> candidate) {
    if (candidate && *candidate > now && (!earliest || *candidate < *earliest))
        earliest = candidate;
}

bool is_due(const std::optional<Time>& due, Time now) {
    return due && *due <= now;
}

} // namespace

Model::Model(Fitting fitting)
    : fitting_(std::move(fitting)), planes_(new_planes()), modules_(new_modules()),
      controllers_(new_controllers()), trays_(new_trays()), supplies_(new_supplies()),
      sensors_(new_sensors(fitting_.cooling)), ports_(new_ports()) {
    for (auto& sensor : sensors_)
        sensor.value.set(target_of(sensor), now_);
    settle();
}

void Model::advance(Time to) {
    for (auto next = next_change(); next && *next <= to; next = next_change()) {
        now_ = *next;
        change_what_is_due();
        settle();
    }
    now_ = std::max(now_, to);
}

std::optional<Time> Model::next_change() const {
    std::optional<Time> next;
    for (const auto& plane : planes_)
        keep_earliest_after(now_, next, plane.due);
    for (const auto& module : modules_)
        keep_earliest_after(now_, next, module.due);
    for (const auto& tray : trays_)
        keep_earliest_after(now_, next, tray.due);
    for (const auto& controller : controllers_)
        keep_earliest_after(now_, next, controller.due);
    for (const auto& plane : planes_)
        for (const auto& fabric : modules_)
            for (const auto& line : modules_)
                keep_earliest_after(now_, next, path_up_at(fabric, line, plane));
    // Alarms depend on temperatures, which change at no instant of their own: look at each whole
    // second, until nothing noticeable happens.
    constexpr double unnoticeable = 0.02;
    const Time tick = std::chrono::floor<seconds>(now_) + seconds(1);
    for (const auto& sensor : sensors_)
        if (tick - seconds(1) <= sensor.value.settled_at(unnoticeable))
            keep_earliest_after(now_, next, tick);
    return next;
}

void Model::change_what_is_due() {
    for (auto& plane : planes_)
        if (is_due(plane.due, now_)) {
            plane.drive = Drive::released;
            plane.due.reset();
        }
    for (auto& module : modules_)
        if (is_due(module.due, now_))
            change(module);
    for (auto& tray : trays_)
        if (is_due(tray.due, now_))
            tray.due.reset();
    for (auto& controller : controllers_)
        if (is_due(controller.due, now_)) {
            controller.role = Role::ready;
            controller.due.reset();
        }
}

void Model::change(Module& module) {
    module.due.reset();
    module.since = now_;
    if (module.drive == Drive::easing) {
        module.drive = Drive::released;
        module.condition = Condition::dark;
    } else if (module.condition == Condition::unclear) {
        boot(module);
    } else {
        module.condition = Condition::running;
    }
}

void Model::boot(Module& module) {
    module.condition = Condition::proving;
    module.since = now_;
    module.due = now_ + fitting_.boot;
}

std::optional<Time> Model::path_up_at(const Module& fabric, const Module& line,
                                      const Plane& plane) const {
    if (!fabric.fabric || line.fabric || plane.drive == Drive::released)
        return std::nullopt;
    if (std::find(fabric.planes.begin(), fabric.planes.end(), plane.name) == fabric.planes.end())
        return std::nullopt;
    if (fabric.condition != Condition::running || line.condition != Condition::running)
        return std::nullopt;
    return std::max({fabric.since, line.since, plane.engaged_at}) +
           fitting_.training * (line.position + 1);
}

int Model::paths_of(const Plane& plane) const {
    int paths = 0;
    for (const auto& fabric : modules_)
        for (const auto& line : modules_)
            if (const auto up = path_up_at(fabric, line, plane); up && *up <= now_)
                ++paths;
    return paths;
}

const Tray& Model::tray_before(const Module& module) const {
    return *std::find_if(trays_.begin(), trays_.end(), [&](const Tray& tray) {
        return std::find(tray.cools.begin(), tray.cools.end(), module.slot) != tray.cools.end();
    });
}

int Model::missing_trays() const {
    return static_cast<int>(
        std::count_if(trays_.begin(), trays_.end(), [](const Tray& tray) { return !tray.seated; }));
}

void Model::settle() {
    const int missing = missing_trays();
    for (auto& tray : trays_)
        if (tray.seated)
            tray.rpm.aim(5'400 + 2'400 * missing + 200 * std::max(0.0, room_celsius_ - 24), now_);
    for (auto& sensor : sensors_)
        if (there(sensor))
            sensor.value.aim(target_of(sensor), now_);
    for (auto& port : ports_) {
        const bool up = port.drive == Drive::engaged &&
                        find(modules_, &Module::slot, port.line)->condition == Condition::running;
        if (up != port.up)
            ++port.flaps;
        port.up = up;
    }
    settle_alarms();
}

void Model::settle_alarms() {
    auto due = alarms_due();
    for (auto& [cause, alarm] : due) {
        const auto standing = alarms_.find(cause);
        alarm.number = standing != alarms_.end() ? standing->second.number : ++alarms_ever_;
    }
    alarms_ = std::move(due);
}

} // namespace slotwitness::chassis
