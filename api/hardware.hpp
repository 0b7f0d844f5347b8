#pragma once

#include "router.hpp"

#include <slotwitness/units/quantity.hpp>

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

/// /v1/chassis/{name}/hardware: ietf-hardware@2018-03-13 (RFC 8348) as RFC 7951 JSON. How our types
/// fit:
///
/// - Fabric planes are left out: no standard class means a slice of switching capacity, and RFC
/// 8348 lists
///   physical components. Alarms are no components either. Both stand in /v1/chassis/{name}.
/// - A controller is an `iana-hardware:module`, a fan tray an `iana-hardware:fan` ("a fan or other
///   heat-reduction component").
/// - Names are the device's own. The list has one name space, so components of two kinds with one
/// name are
///   all called "kind name" ("sensor 3").
/// - No parent: the queries do not tell what is seated where.
/// - What a person could take for the present state is told only while it can be: without a router
/// session,
///   from an answer that is not whole and where two rows disagree, every state that would be told
///   is `unknown` and a sensor is `unavailable` without a value.
namespace slotwitness::api {

[[nodiscard]] Next get_hardware(const Request& request, const Places& places,
                                const desk::Desk& desk);

/// A quantity as sensor-value, -scale and -precision (RFC 3433 §3 as in RFC 8348).
struct SensorValue {
    std::int32_t value = 0;
    std::string_view scale;
    int precision = 0;
    friend bool operator==(const SensorValue&, const SensorValue&) = default;
};
/// The scale nearest to units that shows the quantity exactly; nothing if none does.
[[nodiscard]] std::optional<SensorValue> sensor_value(const units::Decimal& decimal);
/// sensor-value-type. Volts are `other`: the device does not say whether AC or DC.
[[nodiscard]] std::string_view sensor_type(units::Unit unit);

} // namespace slotwitness::api
