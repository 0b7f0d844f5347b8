#include "reading.hpp"

namespace slotwitness::state {
namespace {

constexpr auto attributes = std::to_array(
    {Attribute::admin,    Attribute::oper,         Attribute::usage,         Attribute::standby,
     Attribute::alarm,    Attribute::severity,     Attribute::sensor_status, Attribute::serial,
     Attribute::part,     Attribute::hardware_rev, Attribute::software_rev,  Attribute::label,
     Attribute::text,     Attribute::about,        Attribute::system_name,   Attribute::port_id,
     Attribute::serves,   Attribute::covers,       Attribute::links_usable,  Attribute::links_total,
     Attribute::capacity, Attribute::load,         Attribute::errors,        Attribute::flaps,
     Attribute::reading,  Attribute::limit,        Attribute::speed,         Attribute::uptime});

struct Printer {
    std::string operator()(Unknown) const { return "unknown"; }
    std::string operator()(const std::string& text) const { return text; }
    std::string operator()(const Names& names) const {
        std::string text;
        for (const std::string& name : names)
            text += (text.empty() ? "" : ", ") + name;
        return text;
    }
    std::string operator()(const units::Quantity& quantity) const {
        return units::to_text(quantity);
    }
    template <class Word>
    std::string operator()(Word word) const {
        return std::string{to_word(word)};
    }
};

} // namespace

std::string_view to_word(Attribute value) {
    switch (value) {
    case Attribute::admin:
        return "admin";
    case Attribute::oper:
        return "oper";
    case Attribute::usage:
        return "usage";
    case Attribute::standby:
        return "standby";
    case Attribute::alarm:
        return "alarm";
    case Attribute::severity:
        return "severity";
    case Attribute::sensor_status:
        return "sensor-status";
    case Attribute::serial:
        return "serial";
    case Attribute::part:
        return "part";
    case Attribute::hardware_rev:
        return "hardware-rev";
    case Attribute::software_rev:
        return "software-rev";
    case Attribute::label:
        return "label";
    case Attribute::text:
        return "text";
    case Attribute::about:
        return "about";
    case Attribute::system_name:
        return "system-name";
    case Attribute::port_id:
        return "port-id";
    case Attribute::serves:
        return "serves";
    case Attribute::covers:
        return "covers";
    case Attribute::links_usable:
        return "links-usable";
    case Attribute::links_total:
        return "links-total";
    case Attribute::capacity:
        return "capacity";
    case Attribute::load:
        return "load";
    case Attribute::errors:
        return "errors";
    case Attribute::flaps:
        return "flaps";
    case Attribute::reading:
        return "reading";
    case Attribute::limit:
        return "limit";
    case Attribute::speed:
        return "speed";
    case Attribute::uptime:
        return "uptime";
    }
    __builtin_unreachable();
}

Attribute measured_attribute(Kind kind) {
    switch (kind) {
    case Kind::fan_tray:
        return Attribute::speed;
    case Kind::port:
    case Kind::plane:
    case Kind::chassis:
        return Attribute::load;
    case Kind::controller:
    case Kind::module:
    case Kind::power_supply:
    case Kind::neighbour:
    case Kind::sensor:
    case Kind::alarm:
        return Attribute::reading;
    }
    __builtin_unreachable();
}

template <>
std::span<const Attribute> words_of<Attribute>() {
    return attributes;
}

std::string to_text(const Value& value) {
    return std::visit(Printer{}, value);
}

} // namespace slotwitness::state
