#pragma once

#include "refusal.hpp"
#include "sentence_grammar.hpp"

/// One message for each error point of the grammar. A point without one does not build.
namespace slotwitness::sentences {

template <class Error>
inline constexpr Message message = Error::has_no_message;

namespace g = grammar;

#define SLOTWITNESS_KINDS                                                                          \
    "chassis controller module plane fan-tray power-supply port neighbour sensor alarm"
#define SLOTWITNESS_KIND                                                                           \
    "a kind (chassis, controller, module, plane, fan-tray, power-supply, port, neighbour, "        \
    "sensor, alarm)"
#define SLOTWITNESS_STATES                                                                         \
    "up operational degraded down shut present absent starting admin oper usage standby alarm "    \
    "severity sensor-status below above at serial part hardware-rev software-rev system-name "     \
    "port-id"
#define SLOTWITNESS_STATE                                                                          \
    "a state (up, operational, degraded, down, shut, present, absent, starting), an attribute "    \
    "(admin, oper, usage, standby, alarm, severity, sensor-status) or a comparison (below, "       \
    "above, "                                                                                      \
    "at most, at least)"
#define SLOTWITNESS_UNITS "ms, s, min, h or d"

// The parts of a condition.
template <>
inline constexpr Message message<g::no_condition>{
    "a condition: " SLOTWITNESS_KIND ", "
    "\"every\", \"at most\", \"at least\", \"no alarm\", \"not\" or \"(\"",
    "begin with what to look at, as in \"plane 3 shut\"",
    SLOTWITNESS_KINDS " every at no not capacity errors"};
template <>
inline constexpr Message message<g::no_kind>{
    SLOTWITNESS_KIND, "name what is meant, as in \"every plane up\"", SLOTWITNESS_KINDS};
template <>
inline constexpr Message message<g::no_name>{
    "a name", "name the component as the device lists it, as in \"plane 3\" or \"module FAB3\""};
template <>
inline constexpr Message message<g::empty_name>{
    "a name", "write the name between the double quotes, as in \"module \"FAB 3\"\""};
template <>
inline constexpr Message message<g::no_quote_end>{
    "the rest of a name and its closing double quote",
    "close the name with a double quote, as in \"module \"FAB 3\" shut\""};
template <>
inline constexpr Message message<g::no_escape>{
    "a double quote or a backslash",
    "write \\\" for a double quote in a name and \\\\ for a backslash"};
template <>
inline constexpr Message message<g::no_predicate>{
    SLOTWITNESS_STATE, "say what the device is to report, as in \"plane 3 shut\"",
    SLOTWITNESS_STATES " except served covered"};
template <>
inline constexpr Message message<g::no_negated_predicate>{
    SLOTWITNESS_STATE, "say what is not to be so, as in \"module FAB3 not operational\"",
    SLOTWITNESS_STATES};
template <>
inline constexpr Message message<g::every_not>{"a state without \"not\"",
                                               "\"every … not\" can be heard in two ways: write "
                                               "\"not every plane up\" for one or more that is "
                                               "not, \"at most 0 plane up\" for none that is"};

// Standard words.
template <>
inline constexpr Message message<g::no_admin>{"locked, unlocked, shutting-down or unknown",
                                              "use a word of RFC 8348, as in \"admin locked\"",
                                              "locked unlocked shutting-down unknown"};
template <>
inline constexpr Message message<g::no_oper>{"enabled, disabled, testing or unknown",
                                             "use a word of RFC 8348, as in \"oper disabled\"",
                                             "enabled disabled testing unknown"};
template <>
inline constexpr Message message<g::no_usage>{"idle, active, busy or unknown",
                                              "use a word of RFC 8348, as in \"usage idle\"",
                                              "idle active busy unknown"};
template <>
inline constexpr Message message<g::no_standby>{
    "hot-standby, cold-standby, providing-service or unknown",
    "use a word of RFC 8348, as in \"standby hot-standby\"",
    "hot-standby cold-standby providing-service unknown"};
template <>
inline constexpr Message message<g::no_alarm_state>{
    "under-repair, critical, major, minor, warning, indeterminate or unknown",
    "use a word of RFC 8348, as in \"alarm major\"",
    "under-repair critical major minor warning indeterminate unknown"};
template <>
inline constexpr Message message<g::no_severity>{
    "critical, major, minor, warning, indeterminate or cleared",
    "use a severity, as in \"severity major\"",
    "critical major minor warning indeterminate cleared"};
template <>
inline constexpr Message message<g::no_sensor_status>{
    "ok, unavailable or nonoperational", "use a word of RFC 8348, as in \"sensor-status ok\"",
    "ok unavailable nonoperational"};

// Numbers.
template <>
inline constexpr Message message<g::no_most_least>{
    "\"most\" or \"least\"",
    "write \"at most\" or \"at least\", as in \"at most 1 module not operational\"", "most least"};
template <>
inline constexpr Message message<g::no_quantity>{
    "a number with its unit", "give the limit, as in \"below 45 C\" or \"at least 7200 rpm\""};
template <>
inline constexpr Message message<g::no_unit>{
    "a unit (C, W, V, A, Hz, %, rpm, cmm, b/s, N·m, s)",
    "give the unit of the limit, as in \"45 C\", \"7200 rpm\" or \"400 Gb/s\""};
template <>
inline constexpr Message message<g::no_count>{
    "a whole number", "say how many, as in \"at most 1 module not operational\""};

// Groups.
template <>
inline constexpr Message message<g::no_by_module>{
    "\"by module\" and its name",
    "name the module, as in \"every plane served by module FAB3 shut\""};
template <>
inline constexpr Message message<g::no_by_fan_tray>{
    "\"by fan-tray\" and its name",
    "name the fan tray, as in \"every module covered by fan-tray TRAY1 operational\""};
template <>
inline constexpr Message message<g::serves_only_planes>{
    SLOTWITNESS_STATE, "modules serve planes: \"served by\" stands behind \"every plane\" alone"};
template <>
inline constexpr Message message<g::covers_only_modules>{
    SLOTWITNESS_STATE,
    "fan trays cover modules: \"covered by\" stands behind \"every module\" alone"};

// Alarms.
template <>
inline constexpr Message message<g::no_alarm_word>{
    "\"alarm\" or \"new alarm\"",
    "write \"no alarm\"; for other kinds \"at most 0 module degraded\"", "alarm new"};
template <>
inline constexpr Message message<g::no_new_alarm_word>{
    "\"alarm\"", "write \"no new alarm since baseline\"", "alarm"};
template <>
inline constexpr Message message<g::no_or_above>{"\"or above\" and a severity",
                                                 "write \"no alarm at or above major\""};
template <>
inline constexpr Message message<g::no_least_severity>{
    "critical, major, minor, warning or indeterminate",
    "name the least severity that counts, as in \"no alarm at or above major\"",
    "critical major minor warning indeterminate"};
template <>
inline constexpr Message message<g::no_since>{"\"since baseline\"",
                                              "write \"no new alarm since baseline\"", "since"};

// Comparisons with what was seen earlier, and capacity.
template <>
inline constexpr Message message<g::no_from>{
    "\"from baseline\"", "write \"module FAB3 serial differs from baseline\"", "from"};
template <>
inline constexpr Message message<g::no_as_in>{"\"in baseline\"",
                                              "write \"module FAB3 serial as in baseline\"", "in"};
template <>
inline constexpr Message message<g::no_baseline>{
    "\"baseline\"", "only the baseline can be compared with, as in \"serial as in baseline\"",
    "baseline"};
template <>
inline constexpr Message message<g::no_text_comparison>{
    "\"differs from baseline\" or \"as in baseline\"",
    "compare the text with the baseline, as in \"module FAB3 serial differs from baseline\"",
    "differs as"};
template <>
inline constexpr Message message<g::no_is>{"\"is\" and a state",
                                           "write \"every port up in baseline is up\"", "is"};
template <>
inline constexpr Message message<g::no_without>{
    "\"without\"", "write \"capacity without plane 3 covers load with 20 % margin\"", "without"};
template <>
inline constexpr Message message<g::no_capacity_subject>{
    "\"plane\", \"module\" or \"every\"",
    "say what will be missing, as in \"capacity without plane 3 covers load with 20 % margin\"",
    "plane module every"};
template <>
inline constexpr Message message<g::no_capacity_kind>{
    "\"plane\" or \"module\"",
    "say which planes or modules will be missing, as in \"capacity without every plane served by "
    "module FAB3 covers load with 20 % margin\"",
    "plane module"};
template <>
inline constexpr Message message<g::no_covers>{
    "\"covers load\"", "write \"capacity without plane 3 covers load with 20 % margin\"",
    "covers except served covered"};
template <>
inline constexpr Message message<g::no_load>{
    "\"load\"", "write \"capacity without plane 3 covers load with 20 % margin\"", "load"};
template <>
inline constexpr Message message<g::no_with>{
    "\"with\" and a margin", "state the margin, as in \"with 20 % margin\"", "with"};
template <>
inline constexpr Message message<g::no_percentage>{"a percentage",
                                                   "state the margin, as in \"with 20 % margin\""};
template <>
inline constexpr Message message<g::no_percent_sign>{
    "\"%\"", "state the margin in percent, as in \"with 20 % margin\""};
template <>
inline constexpr Message message<g::no_margin_word>{"\"margin\"", "write \"with 20 % margin\"",
                                                    "margin"};
template <>
inline constexpr Message message<g::no_of>{"\"of\"", "write \"errors of plane 3 not rising\"",
                                           "of"};
template <>
inline constexpr Message message<g::no_subject>{
    SLOTWITNESS_KIND " or \"every\"", "say whose errors, as in \"errors of plane 3 not rising\"",
    SLOTWITNESS_KINDS " every"};
template <>
inline constexpr Message message<g::no_not_rising>{
    "\"not rising\"", "write \"errors of plane 3 not rising\"", "not except served covered"};

// The end of the sentence.
template <>
inline constexpr Message message<g::no_closing>{
    "\"and\", \"or\" or \")\"",
    "close the parenthesis; \"for\" and \"within\" stand once, at the end of the whole sentence",
    "and or"};
template <>
inline constexpr Message message<g::no_duration>{
    "a duration", "write a whole number and a unit, as in \"10 s\" or \"1 h 30 min\""};
template <>
inline constexpr Message message<g::no_time_unit>{
    SLOTWITNESS_UNITS, "write whole numbers, each with its unit, as in \"1 h 30 min\""};
template <>
inline constexpr Message message<g::no_end>{
    "\"and\", \"or\", \"for\", \"within\" or the end",
    "join a further condition with \"and\" or \"or\", or end the sentence here",
    "and or for within"};
template <>
inline constexpr Message message<g::no_end_after_for>{
    "\"within\" or the end",
    "\"for\" and \"within\" close the whole sentence, once each, as in \"plane 3 up and plane 4 up "
    "for 10 s\"",
    "within"};
template <>
inline constexpr Message message<g::no_end_after_within>{
    "\"for\" or the end",
    "\"for\" and \"within\" close the whole sentence, once each, as in \"plane 3 up within 5 min\"",
    "for"};
template <>
inline constexpr Message message<g::no_end_after_both>{
    "the end", "\"for\" and \"within\" close the whole sentence, once each"};

#undef SLOTWITNESS_KINDS
#undef SLOTWITNESS_KIND
#undef SLOTWITNESS_STATES
#undef SLOTWITNESS_STATE
#undef SLOTWITNESS_UNITS

} // namespace slotwitness::sentences
