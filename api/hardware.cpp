#include "hardware.hpp"

#include "body.hpp"
#include "chassis.hpp"

#include <slotwitness/units/time.hpp>

#include <algorithm>
#include <array>
#include <map>
#include <set>

namespace slotwitness::api {

namespace {

using Json = nlohmann::ordered_json;
using state::Attribute;
using state::Kind;

/// Empty for what is no component of RFC 8348.
std::string_view class_of(Kind kind) {
    switch (kind) {
    case Kind::chassis:
        return "iana-hardware:chassis";
    case Kind::controller:
    case Kind::module:
        return "iana-hardware:module";
    case Kind::fan_tray:
        return "iana-hardware:fan";
    case Kind::power_supply:
        return "iana-hardware:power-supply";
    case Kind::port:
        return "iana-hardware:port";
    case Kind::sensor:
        return "iana-hardware:sensor";
    case Kind::plane:
    case Kind::neighbour:
    case Kind::alarm:
        return "";
    }
    return "";
}

/// All that the newest answers say of one component.
struct Component {
    std::map<Attribute, state::Value> facts; ///< Unknown where it cannot be told
    units::Instant answered;                 ///< the oldest of the answers
};
using Key = std::pair<Kind, std::string>;

std::map<Key, Component> components_of(const desk::ChassisView& view) {
    std::map<Key, Component> components;
    for (const desk::ComponentView& shown : view.components) {
        if (class_of(shown.row.kind).empty())
            continue;
        const auto [at, first] = components.try_emplace({shown.row.kind, shown.row.name});
        Component& component = at->second;
        component.answered = first ? shown.answered : std::min(component.answered, shown.answered);
        const bool told = view.session == desk::Session::connected && shown.whole;
        for (const auto& [attribute, fact] : shown.row.facts) {
            const state::Value value = told ? fact.value : state::Value{state::Unknown{}};
            const auto [place, added] = component.facts.try_emplace(attribute, value);
            if (!added && place->second != value)
                place->second = state::Unknown{};
        }
    }
    return components;
}

/// Nothing where the device tells no such attribute; "unknown" where it does and cannot be
/// believed.
template <class Word>
std::optional<std::string> word(const Component& component, Attribute attribute) {
    const auto fact = component.facts.find(attribute);
    if (fact == component.facts.end())
        return std::nullopt;
    const auto* value = std::get_if<Word>(&fact->second);
    return std::string{value ? state::to_word(*value) : "unknown"};
}

std::optional<std::string> text(const Component& component, Attribute attribute) {
    const auto fact = component.facts.find(attribute);
    if (fact == component.facts.end())
        return std::nullopt;
    const auto* value = std::get_if<std::string>(&fact->second);
    return value ? std::optional{*value} : std::nullopt;
}

template <class Value>
void put(Json& json, const char* leaf, const std::optional<Value>& value) {
    if (value)
        json[leaf] = *value;
}

Json state_of(const Component& component) {
    Json json;
    put(json, "admin-state", word<state::AdminState>(component, Attribute::admin));
    put(json, "oper-state", word<state::OperState>(component, Attribute::oper));
    put(json, "usage-state", word<state::UsageState>(component, Attribute::usage));
    put(json, "alarm-state", word<state::AlarmState>(component, Attribute::alarm));
    put(json, "standby-state", word<state::StandbyState>(component, Attribute::standby));
    return json;
}

Json sensor_data_of(const Component& component) {
    const auto fact = component.facts.find(Attribute::reading);
    const auto* quantity =
        fact == component.facts.end() ? nullptr : std::get_if<units::Quantity>(&fact->second);
    const auto value = quantity ? sensor_value(quantity->value) : std::nullopt;
    const auto status = word<state::SensorStatus>(component, Attribute::sensor_status);
    Json json;
    if (value) {
        json["value"] = value->value;
        json["value-type"] = sensor_type(quantity->unit);
        json["value-scale"] = value->scale;
        json["value-precision"] = value->precision;
        if (quantity->unit != units::Unit::none)
            json["units-display"] = units::to_text(quantity->unit);
        json["value-timestamp"] = units::to_rfc3339(component.answered);
    }
    // The enumeration has no "unknown": what cannot be told is a value that cannot be obtained.
    const bool told = status && *status != "unknown";
    json["oper-status"] = told ? *status : value && !status ? "ok" : "unavailable";
    return json;
}

/// Names that stand under more than one kind.
std::set<std::string> shared_names(const std::map<Key, Component>& components) {
    std::set<std::string> seen;
    std::set<std::string> shared;
    for (const auto& [key, component] : components)
        if (!seen.insert(key.second).second)
            shared.insert(key.second);
    return shared;
}

Json hardware_of(const desk::ChassisView& view) {
    const auto components = components_of(view);
    const auto shared = shared_names(components);
    Json list = Json::array();
    for (const auto& [key, component] : components) {
        const auto& [kind, name] = key;
        Json json;
        json["name"] =
            shared.contains(name) ? std::string{state::to_word(kind)} + ' ' + name : name;
        json["class"] = class_of(kind);
        put(json, "description", text(component, Attribute::text));
        put(json, "hardware-rev", text(component, Attribute::hardware_rev));
        put(json, "software-rev", text(component, Attribute::software_rev));
        put(json, "serial-num", text(component, Attribute::serial));
        put(json, "model-name", text(component, Attribute::part));
        if (Json state = state_of(component); !state.empty())
            json["state"] = std::move(state);
        if (kind == Kind::sensor)
            json["sensor-data"] = sensor_data_of(component);
        list.push_back(std::move(json));
    }
    Json hardware;
    hardware["component"] = std::move(list);
    return {{"ietf-hardware:hardware", std::move(hardware)}};
}

struct Scale {
    int exponent;
    std::string_view word;
};
/// sensor-value-scale, the nearest to units first.
constexpr std::array<Scale, 17> scales{{{0, "units"},
                                        {-3, "milli"},
                                        {3, "kilo"},
                                        {-6, "micro"},
                                        {6, "mega"},
                                        {-9, "nano"},
                                        {9, "giga"},
                                        {-12, "pico"},
                                        {12, "tera"},
                                        {-15, "femto"},
                                        {15, "peta"},
                                        {-18, "atto"},
                                        {18, "exa"},
                                        {-21, "zepto"},
                                        {21, "zetta"},
                                        {-24, "yocto"},
                                        {24, "yotta"}}};

/// coefficient × 10^exponent as a sensor-value; nothing if it is none, or at ±10^9, which mean
/// under- and overflow.
std::optional<std::int32_t> whole_number(std::int64_t coefficient, int exponent) {
    constexpr std::int64_t limit = 1'000'000'000;
    for (; exponent > 0; --exponent) {
        if (coefficient <= -limit || coefficient >= limit)
            return std::nullopt;
        coefficient *= 10;
    }
    if (coefficient <= -limit || coefficient >= limit)
        return std::nullopt;
    return static_cast<std::int32_t>(coefficient);
}

} // namespace

std::optional<SensorValue> sensor_value(const units::Decimal& decimal) {
    constexpr int most_digits = 9; // sensor-value-precision
    for (const Scale& scale : scales) {
        const int exponent = decimal.exponent() - scale.exponent;
        const int precision = std::max(0, -exponent);
        if (precision > most_digits)
            continue;
        if (const auto value = whole_number(decimal.coefficient(), exponent + precision))
            return SensorValue{*value, scale.word, precision};
    }
    return std::nullopt;
}

std::string_view sensor_type(units::Unit unit) {
    using units::Unit;
    switch (unit) {
    case Unit::none:
        return "unknown";
    case Unit::celsius:
        return "celsius";
    case Unit::watts:
        return "watts";
    case Unit::amperes:
        return "amperes";
    case Unit::hertz:
        return "hertz";
    case Unit::rpm:
        return "rpm";
    case Unit::cubic_metres_per_minute:
        return "cmm";
    case Unit::volts:
    case Unit::percent:
    case Unit::bits_per_second:
    case Unit::newton_metres:
    case Unit::seconds:
        return "other";
    }
    return "unknown";
}

Next get_hardware(const Request& request, const Places& places, const desk::Desk& desk) {
    const auto view = desk.chassis(places.front());
    if (!view)
        return no_such_chassis(request, places.front(), desk);
    Response response;
    response.fields = {{"Content-Type", "application/yang-data+json"}}; // RFC 8040 §11.3.2
    response.body = to_body(hardware_of(*view));
    return response;
}

} // namespace slotwitness::api
