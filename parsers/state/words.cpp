#include "words.hpp"

namespace slotwitness::state {
namespace {

constexpr auto admin_states = std::to_array(
    {AdminState::unknown, AdminState::locked, AdminState::shutting_down, AdminState::unlocked});
constexpr auto oper_states = std::to_array(
    {OperState::unknown, OperState::disabled, OperState::enabled, OperState::testing});
constexpr auto usage_states =
    std::to_array({UsageState::unknown, UsageState::idle, UsageState::active, UsageState::busy});
constexpr auto standby_states =
    std::to_array({StandbyState::unknown, StandbyState::hot_standby, StandbyState::cold_standby,
                   StandbyState::providing_service});
constexpr auto alarm_states = std::to_array(
    {AlarmState::unknown, AlarmState::under_repair, AlarmState::critical, AlarmState::major,
     AlarmState::minor, AlarmState::warning, AlarmState::indeterminate});
constexpr auto severities =
    std::to_array({Severity::critical, Severity::major, Severity::minor, Severity::warning,
                   Severity::indeterminate, Severity::cleared});
constexpr auto sensor_statuses =
    std::to_array({SensorStatus::ok, SensorStatus::unavailable, SensorStatus::nonoperational});
constexpr auto kinds =
    std::to_array({Kind::chassis, Kind::controller, Kind::module, Kind::plane, Kind::fan_tray,
                   Kind::power_supply, Kind::port, Kind::neighbour, Kind::sensor, Kind::alarm});

} // namespace

std::string_view to_word(AdminState value) {
    switch (value) {
    case AdminState::unknown:
        return "unknown";
    case AdminState::locked:
        return "locked";
    case AdminState::shutting_down:
        return "shutting-down";
    case AdminState::unlocked:
        return "unlocked";
    }
    __builtin_unreachable();
}

std::string_view to_word(OperState value) {
    switch (value) {
    case OperState::unknown:
        return "unknown";
    case OperState::disabled:
        return "disabled";
    case OperState::enabled:
        return "enabled";
    case OperState::testing:
        return "testing";
    }
    __builtin_unreachable();
}

std::string_view to_word(UsageState value) {
    switch (value) {
    case UsageState::unknown:
        return "unknown";
    case UsageState::idle:
        return "idle";
    case UsageState::active:
        return "active";
    case UsageState::busy:
        return "busy";
    }
    __builtin_unreachable();
}

std::string_view to_word(StandbyState value) {
    switch (value) {
    case StandbyState::unknown:
        return "unknown";
    case StandbyState::hot_standby:
        return "hot-standby";
    case StandbyState::cold_standby:
        return "cold-standby";
    case StandbyState::providing_service:
        return "providing-service";
    }
    __builtin_unreachable();
}

std::string_view to_word(AlarmState value) {
    switch (value) {
    case AlarmState::unknown:
        return "unknown";
    case AlarmState::under_repair:
        return "under-repair";
    case AlarmState::critical:
        return "critical";
    case AlarmState::major:
        return "major";
    case AlarmState::minor:
        return "minor";
    case AlarmState::warning:
        return "warning";
    case AlarmState::indeterminate:
        return "indeterminate";
    }
    __builtin_unreachable();
}

std::string_view to_word(Severity value) {
    switch (value) {
    case Severity::critical:
        return "critical";
    case Severity::major:
        return "major";
    case Severity::minor:
        return "minor";
    case Severity::warning:
        return "warning";
    case Severity::indeterminate:
        return "indeterminate";
    case Severity::cleared:
        return "cleared";
    }
    __builtin_unreachable();
}

std::string_view to_word(SensorStatus value) {
    switch (value) {
    case SensorStatus::ok:
        return "ok";
    case SensorStatus::unavailable:
        return "unavailable";
    case SensorStatus::nonoperational:
        return "nonoperational";
    }
    __builtin_unreachable();
}

std::string_view to_word(Kind value) {
    switch (value) {
    case Kind::chassis:
        return "chassis";
    case Kind::controller:
        return "controller";
    case Kind::module:
        return "module";
    case Kind::plane:
        return "plane";
    case Kind::fan_tray:
        return "fan-tray";
    case Kind::power_supply:
        return "power-supply";
    case Kind::port:
        return "port";
    case Kind::neighbour:
        return "neighbour";
    case Kind::sensor:
        return "sensor";
    case Kind::alarm:
        return "alarm";
    }
    __builtin_unreachable();
}

template <>
std::span<const AdminState> words_of<AdminState>() {
    return admin_states;
}
template <>
std::span<const OperState> words_of<OperState>() {
    return oper_states;
}
template <>
std::span<const UsageState> words_of<UsageState>() {
    return usage_states;
}
template <>
std::span<const StandbyState> words_of<StandbyState>() {
    return standby_states;
}
template <>
std::span<const AlarmState> words_of<AlarmState>() {
    return alarm_states;
}
template <>
std::span<const Severity> words_of<Severity>() {
    return severities;
}
template <>
std::span<const SensorStatus> words_of<SensorStatus>() {
    return sensor_statuses;
}
template <>
std::span<const Kind> words_of<Kind>() {
    return kinds;
}

} // namespace slotwitness::state
