#pragma once

#include "problem.hpp"
#include "words.hpp"

#include <slotwitness/units/quantity.hpp>
#include <slotwitness/units/time.hpp>

#include <boost/container/flat_map.hpp>

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

namespace slotwitness::state {

/// What a fact is about. Each attribute has one type of value; see `Value`.
enum class Attribute {
    admin,         ///< AdminState
    oper,          ///< OperState
    usage,         ///< UsageState
    standby,       ///< StandbyState
    alarm,         ///< AlarmState
    severity,      ///< Severity (alarms)
    sensor_status, ///< SensorStatus
    serial,        ///< text
    part,          ///< text: model-name of RFC 8348
    hardware_rev,  ///< text
    software_rev,  ///< text
    label,         ///< text: what is printed on the chassis at its place
    text,          ///< text: an alarm's own words, a description
    about,         ///< text: the component that an alarm concerns
    system_name,   ///< text: who is there, of a neighbour: system-name of IEEE 802.1AB
    port_id,       ///< text: at which of its ports, of a neighbour: port-id of IEEE 802.1AB
    serves,        ///< names: the planes that a module serves
    covers,        ///< names: the modules that a fan tray covers
    links_usable,  ///< Quantity, a count
    links_total,   ///< Quantity, a count
    capacity,      ///< Quantity, b/s
    load,          ///< Quantity, b/s
    errors,        ///< Quantity, a counter
    flaps,         ///< Quantity, a counter of state changes
    reading,       ///< Quantity: a sensor's value
    limit,         ///< Quantity: what a sensor's value must not reach, as the device states it
    speed,         ///< Quantity, rpm
    uptime, ///< Quantity, s: how long the component has been in its state; printed precision beside
            ///< it
};
[[nodiscard]] std::string_view to_word(Attribute value);
template <>
std::span<const Attribute> words_of<Attribute>();

/// What a component's own measured value is: a fan tray's speed; the load of a port, plane or
/// chassis; else the reading.
[[nodiscard]] Attribute measured_attribute(Kind kind);

/// The device said something here that has no standard meaning, or said that it does not know.
struct Unknown {
    friend bool operator==(const Unknown&, const Unknown&) = default;
};
using Names = std::vector<std::string>;
using Value = std::variant<Unknown, AdminState, OperState, UsageState, StandbyState, AlarmState,
                           Severity, SensorStatus, std::string, Names, units::Quantity>;

/// "locked", "38.5 C", "1, 2", "unknown".
[[nodiscard]] std::string to_text(const Value& value);

struct Fact {
    Value value;
    Position at; ///< of its first byte in the answer
    friend bool operator==(const Fact&, const Fact&) = default;
};

/// A row has few facts, and readings have many rows: one piece of memory holds them in the order of
/// the attributes.
using Facts = boost::container::flat_map<Attribute, Fact>;

/// What one answer says of one component at one place. A component may stand in several rows.
struct Row {
    Kind kind = Kind::chassis;
    std::string name;
    Position at;      ///< where the row begins
    std::string text; ///< the lines it was read from, as the device printed them, joined by LF
    Facts facts;
    friend bool operator==(const Row&, const Row&) = default;
};

/// A line of the answer that the layout did not read. It is never dropped in silence.
struct UnreadLine {
    std::size_t line = 0;
    std::string text;
    std::size_t column = 0; ///< the furthest column reached, from 1
    std::string expected;   ///< what was expected there
    /// What else the line may name, since nobody knows what it says: how a screen shows it, the
    /// rest of a long line, names whose parts it has.
    std::string also = {};
    friend bool operator==(const UnreadLine&, const UnreadLine&) = default;
};

/// A line that says nothing of the device's state: the profile passes it over, or the terminal
/// added it.
struct SetAsideLine {
    std::size_t line = 0;
    std::string why; ///< "pager", "log line", "named in the profile"
    friend bool operator==(const SetAsideLine&, const SetAsideLine&) = default;
};

/// Something a person should know of a row that was read: an undeclared word, a wrong unit.
struct Remark {
    Position at;
    std::string text;
    friend bool operator==(const Remark&, const Remark&) = default;
};

/// One answer, read. The rows are facts of the device; everything else says how far to trust them.
struct Reading {
    bool whole = false; ///< the transport saw its end: exit status 0 and EOF. Otherwise it may
                        ///< refute, never confirm
    std::vector<Kind> tells = {}; ///< kinds of which its rows can be, read or not
    std::vector<Kind>
        lists; ///< kinds of which this answer, if whole and wholly read, names every present one
    std::vector<Row> rows; ///< in the order of the text
    std::vector<UnreadLine> unread;
    std::vector<Remark> remarks;
    std::vector<SetAsideLine> set_aside; ///< in the order of the text

    /// Nothing was left unread: what it does not list is not there.
    [[nodiscard]] bool wholly_read() const { return unread.empty(); }
    friend bool operator==(const Reading&, const Reading&) = default;
};

} // namespace slotwitness::state
