#include "hardware_leaves.hpp"

#include <slotwitness/units/quantity.hpp>

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdint>

namespace slotwitness::layouts {
namespace {

using Form = HardwareLeaf::Form;

constexpr auto leaves = std::to_array<HardwareLeaf>({
    {Place::component, "name", "name"},
    {Place::component, "class", "class", Form::class_},
    {Place::component, "physical-index", "physical-index"},
    {Place::component, "description", "description"},
    {Place::component, "parent", "parent"},
    {Place::component, "parent-rel-pos", "parent-rel-pos"},
    {Place::component, "contains-child", "contains-child", Form::names},
    {Place::component, "hardware-rev", "hardware-rev"},
    {Place::component, "firmware-rev", "firmware-rev"},
    {Place::component, "software-rev", "software-rev"},
    {Place::component, "serial-num", "serial-num"},
    {Place::component, "mfg-name", "mfg-name"},
    {Place::component, "model-name", "model-name"},
    {Place::component, "alias", "alias"},
    {Place::component, "asset-id", "asset-id"},
    {Place::component, "is-fru", "is-fru"},
    {Place::component, "mfg-date", "mfg-date"},
    {Place::component, "uri", "uri", Form::uris},
    {Place::component, "uuid", "uuid"},
    {Place::state, "state-last-changed", "state-last-changed"},
    {Place::state, "admin-state", "admin-state"},
    {Place::state, "oper-state", "oper-state"},
    {Place::state, "usage-state", "usage-state"},
    {Place::state, "alarm-state", "alarm-state", Form::bits},
    {Place::state, "standby-state", "standby-state"},
    {Place::sensor_data, "value", "value", Form::part},
    {Place::sensor_data, "value-type", "value-type", Form::part},
    {Place::sensor_data, "value-scale", "value-scale", Form::part},
    {Place::sensor_data, "value-precision", "value-precision", Form::part},
    {Place::sensor_data, "oper-status", "sensor-status"},
    {Place::sensor_data, "units-display", "units-display"},
    {Place::sensor_data, "value-timestamp", "value-timestamp"},
    {Place::sensor_data, "value-update-rate", "value-update-rate"},
});

/// typedef sensor-value-type, but truth-value; "" where the value is of no unit.
struct Type {
    std::string_view name;
    std::string_view unit;
};
constexpr auto types = std::to_array<Type>({
    {"other", "other"},
    {"unknown", "unknown"},
    {"volts-AC", "V"},
    {"volts-DC", "V"},
    {"amperes", "A"},
    {"watts", "W"},
    {"hertz", "Hz"},
    {"celsius", "C"},
    {"percent-RH", "%"},
    {"rpm", "rpm"},
    {"cmm", "cmm"},
});

/// typedef sensor-value-scale, from 10^-24 by thousands.
constexpr auto scales = std::to_array<std::string_view>(
    {"yocto", "zepto", "atto", "femto", "pico", "nano", "micro", "milli", "units", "kilo", "mega",
     "giga", "tera", "peta", "exa", "zetta", "yotta"});
constexpr int least_power = -24;

constexpr std::int64_t out_of_range = 1'000'000'000; // either sign: typedef sensor-value

std::optional<std::int64_t> integer(std::string_view text) {
    if (text.starts_with('+')) // RFC 7950, section 9.2.1
        text.remove_prefix(text.size() > 1 && text[1] == '-' ? 0 : 1);
    std::int64_t value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    return error == std::errc{} && end == text.data() + text.size() && !text.empty()
               ? std::optional{value}
               : std::nullopt;
}

tl::unexpected<std::string> misses(const char* expected) {
    return tl::make_unexpected(std::string{expected});
}

} // namespace

const HardwareLeaf* find_leaf(Place place, std::string_view name) {
    const auto found = std::find_if(leaves.begin(), leaves.end(), [&](const HardwareLeaf& leaf) {
        return leaf.place == place && leaf.name == name;
    });
    return found == leaves.end() ? nullptr : &*found;
}

std::optional<Place> find_container(std::string_view name) {
    if (name == "state")
        return Place::state;
    if (name == "sensor-data")
        return Place::sensor_data;
    return std::nullopt;
}

tl::expected<std::string, std::string> sensor_text(const SensorParts& parts) {
    const auto value = integer(parts.value);
    if (!value || *value < -out_of_range || *value > out_of_range)
        return misses("a whole number from -1000000000 to 1000000000 (RFC 8348, sensor-value)");
    if (*value == out_of_range || *value == -out_of_range)
        return std::to_string(*value);
    if (parts.type == "truth-value") {
        if (*value != 1 && *value != 2)
            return misses("1 for true or 2 for false (RFC 8348, sensor-value)");
        return std::string{*value == 1 ? "true" : "false"};
    }
    const auto type = std::find_if(types.begin(), types.end(),
                                   [&](const Type& one) { return one.name == parts.type; });
    if (type == types.end())
        return misses("a value-type of RFC 8348 beside the value");
    const auto scale = std::find(scales.begin(), scales.end(), parts.scale);
    if (scale == scales.end())
        return misses("a value-scale of RFC 8348 beside the value");
    const auto precision = integer(parts.precision);
    if (!precision || *precision < -8 || *precision > 9)
        return misses("a value-precision from -8 to 9 beside the value");
    // Below zero it counts the digits that are accurate, and moves no point.
    const int decimals = *precision > 0 ? static_cast<int>(*precision) : 0;
    const int power = least_power + 3 * static_cast<int>(scale - scales.begin());
    const auto exact = units::Decimal::of(*value, power - decimals);
    if (!exact)
        return misses(
            "a value of which no digit stands beyond the 18th on either side of the point");
    return exact->to_text() + " " + std::string{type->unit};
}

} // namespace slotwitness::layouts
