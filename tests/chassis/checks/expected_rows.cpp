#include "expected_rows.hpp"

#include <stdexcept>

namespace slotwitness::chassis::checks {
namespace {

using state::Attribute;
using state::Kind;
using state::Value;
using units::Decimal;
using units::Quantity;
using units::Unit;

Value quantity(std::int64_t coefficient, int exponent, Unit unit) {
    return Quantity{*Decimal::of(coefficient, exponent), unit};
}
Value count(std::int64_t number) {
    return quantity(number, 0, Unit::none);
}
Value rate(std::int64_t gbps) {
    return quantity(gbps, 9, Unit::bits_per_second);
}

// What the family's words mean, from the model's side; the profile says it from the daemon's.
Value admin(Drive drive) {
    switch (drive) {
    case Drive::engaged:
        return state::AdminState::unlocked;
    case Drive::easing:
        return state::AdminState::shutting_down;
    case Drive::released:
        return state::AdminState::locked;
    }
    throw std::logic_error("drive");
}

Value oper(Condition condition) {
    switch (condition) {
    case Condition::running:
    case Condition::carrying:
        return state::OperState::enabled;
    case Condition::dark:
        return state::OperState::disabled;
    case Condition::proving:
        return state::OperState::testing;
    case Condition::unclear:
        return state::OperState::unknown;
    }
    throw std::logic_error("condition");
}

Value standby(Role role) {
    switch (role) {
    case Role::leading:
        return state::StandbyState::providing_service;
    case Role::ready:
        return state::StandbyState::hot_standby;
    case Role::cold:
        return state::StandbyState::cold_standby;
    }
    throw std::logic_error("role");
}

Value severity(Grade grade) {
    switch (grade) {
    case Grade::critical:
        return state::Severity::critical;
    case Grade::major:
        return state::Severity::major;
    case Grade::minor:
        return state::Severity::minor;
    case Grade::warning:
        return state::Severity::warning;
    }
    throw std::logic_error("grade");
}

Value status(Sense sense) {
    switch (sense) {
    case Sense::good:
        return state::SensorStatus::ok;
    case Sense::away:
        return state::SensorStatus::unavailable;
    case Sense::wrong:
        return state::SensorStatus::nonoperational;
    }
    throw std::logic_error("sense");
}

Unit unit_of(const std::string& text) {
    if (text == "C")
        return Unit::celsius;
    if (text == "%")
        return Unit::percent;
    if (text == "W")
        return Unit::watts;
    if (text == "V")
        return Unit::volts;
    throw std::logic_error("unit " + text);
}

ExpectedRow plane(const PlaneRow& row) {
    return {Kind::plane,
            row.name,
            {{Attribute::admin, admin(row.drive)},
             {Attribute::oper, oper(row.condition)},
             {Attribute::links_usable, count(row.paths)},
             {Attribute::links_total, count(row.of)},
             {Attribute::capacity, rate(row.capacity_gbps)},
             {Attribute::errors, count(row.faults)}}};
}

ExpectedRow module(const ModuleRow& row) {
    ExpectedRow expected{Kind::module,
                         row.slot,
                         {{Attribute::part, row.what},
                          {Attribute::admin, admin(row.drive)},
                          {Attribute::oper, oper(row.condition)},
                          {Attribute::label, row.printed}}};
    if (!row.serial.empty())
        expected.facts[Attribute::serial] = row.serial;
    if (!row.build.empty())
        expected.facts[Attribute::hardware_rev] = row.build;
    if (!row.planes.empty())
        expected.facts[Attribute::serves] = row.planes;
    return expected;
}

ExpectedRow controller(const ControllerRow& row) {
    return {Kind::controller,
            row.slot,
            {{Attribute::standby, standby(row.role)},
             {Attribute::oper, oper(row.condition)},
             {Attribute::serial, row.serial}}};
}

ExpectedRow tray(const TrayRow& row) {
    return {Kind::fan_tray,
            row.slot,
            {{Attribute::admin, admin(row.drive)},
             {Attribute::oper, oper(row.condition)},
             {Attribute::speed, quantity(row.rpm, 0, Unit::rpm)},
             {Attribute::covers, row.cools},
             {Attribute::serial, row.serial},
             {Attribute::label, row.printed}}};
}

ExpectedRow supply(const SupplyRow& row) {
    ExpectedRow expected{Kind::power_supply,
                         row.slot,
                         {{Attribute::oper, oper(row.condition)}, {Attribute::serial, row.serial}}};
    if (row.watts)
        expected.facts[Attribute::reading] = quantity(*row.watts, 0, Unit::watts);
    return expected;
}

ExpectedRow sensor(const SensorRow& row) {
    ExpectedRow expected{
        Kind::sensor,
        row.name,
        {{Attribute::sensor_status, status(row.sense)},
         {Attribute::reading,
          row.tenths ? quantity(*row.tenths, -1, unit_of(row.unit)) : Value(state::Unknown{})}}};
    if (row.limit)
        expected.facts[Attribute::limit] = quantity(*row.limit, 0, unit_of(row.unit));
    return expected;
}

ExpectedRow port(const PortRow& row) {
    return {Kind::port,
            row.name,
            {{Attribute::admin, admin(row.drive)},
             {Attribute::oper, oper(row.condition)},
             {Attribute::capacity, rate(row.rate_gbps)},
             {Attribute::flaps, count(row.flaps)},
             {Attribute::errors, count(row.faults)}}};
}

ExpectedRow neighbour(const NeighbourRow& row) {
    return {Kind::neighbour,
            row.port,
            {{Attribute::system_name, row.system},
             {Attribute::port_id, row.far_port},
             {Attribute::oper, row.hearing == Hearing::steady ? state::OperState::enabled
                                                              : state::OperState::disabled}}};
}

ExpectedRow alarm(const AlarmRow& row) {
    return {Kind::alarm,
            std::to_string(row.number),
            {{Attribute::severity, severity(row.grade)},
             {Attribute::about, row.about},
             {Attribute::text, row.text}}};
}

ExpectedRow chassis(const ChassisRow& row) {
    return {Kind::chassis,
            row.name,
            {{Attribute::serial, row.serial},
             {Attribute::part, row.build},
             {Attribute::software_rev, row.software},
             {Attribute::uptime, quantity(row.running_for_s, 0, Unit::seconds)},
             {Attribute::load, rate(row.load_gbps)}}};
}

template <class Rows, class Expect>
std::vector<ExpectedRow> each(const Rows& rows, Expect expect) {
    std::vector<ExpectedRow> expected;
    for (const auto& row : rows)
        expected.push_back(expect(row));
    return expected;
}

} // namespace

std::vector<ExpectedRow> expected_rows(const std::string& query, const Snapshot& now) {
    if (query == "chassis")
        return {chassis(now.chassis)};
    if (query == "planes")
        return each(now.planes, plane);
    if (query == "modules")
        return each(now.modules, module);
    if (query == "controllers")
        return each(now.controllers, controller);
    if (query == "trays")
        return each(now.trays, tray);
    if (query == "supplies")
        return each(now.supplies, supply);
    if (query == "sensors")
        return each(now.sensors, sensor);
    if (query == "ports")
        return each(now.ports, port);
    if (query == "neighbours")
        return each(now.neighbours, neighbour);
    if (query == "alarms")
        return each(now.alarms, alarm);
    throw std::logic_error("query " + query);
}

ExpectedRow expected_detail(const ModuleRow& row) {
    const auto told = [](const std::string& text) {
        return text.empty() ? Value(state::Unknown{}) : Value(text);
    };
    return {Kind::module,
            row.slot,
            {{Attribute::part, row.what},
             {Attribute::admin, admin(row.drive)},
             {Attribute::oper, oper(row.condition)},
             {Attribute::uptime, quantity(row.in_condition_s, 0, Unit::seconds)},
             {Attribute::serial, told(row.serial)},
             {Attribute::hardware_rev, told(row.build)},
             {Attribute::software_rev, told(row.firmware)}}};
}

} // namespace slotwitness::chassis::checks
