#pragma once

#include <array>
#include <string_view>

namespace slotwitness::sentences {

struct Accepted {
    std::string_view text;
    std::string_view canonical;
};

/// Sentences that must be read, with the text they are shown in. The first thirteen are the ones by
/// which the language was laid down: their text is canonical as it stands.
inline constexpr auto accepted = std::to_array<Accepted>({
    {"plane 3 shut for 10 s within 5 min", "plane 3 shut for 10 s within 5 min"},
    {"plane 3 down", "plane 3 down"},
    {"module FAB3 shut for 10 s within 5 min", "module FAB3 shut for 10 s within 5 min"},
    {"module FAB3 operational for 30 s within 15 min",
     "module FAB3 operational for 30 s within 15 min"},
    {"every plane except 3 up", "every plane except 3 up"},
    {"every plane served by module FAB3 shut", "every plane served by module FAB3 shut"},
    {"every fan-tray operational", "every fan-tray operational"},
    {"at most 1 module not operational", "at most 1 module not operational"},
    {"sensor inlet below 45 C", "sensor inlet below 45 C"},
    {"port eth1 down", "port eth1 down"},
    {"not module FAB3 present", "not module FAB3 present"},
    {"plane 3 up and module FAB3 operational", "plane 3 up and module FAB3 operational"},
    {"capacity without plane 3 covers load with 20 % margin",
     "capacity without plane 3 covers load with 20 % margin"},
    // every kind
    {"every chassis up", "every chassis up"},
    {"controller CTL0 standby hot-standby", "controller CTL0 standby hot-standby"},
    {"power-supply PSU1 operational", "power-supply PSU1 operational"},
    {"alarm 17 absent", "alarm 17 absent"},
    // every predicate
    {"module FAB3 degraded", "module FAB3 degraded"},
    {"module FAB3 starting", "module FAB3 starting"},
    {"module FAB3 admin locked", "module FAB3 admin locked"},
    {"module FAB3 admin shutting-down", "module FAB3 admin shutting-down"},
    {"port eth1 oper testing", "port eth1 oper testing"},
    {"port eth1 usage idle", "port eth1 usage idle"},
    {"module FAB3 alarm under-repair", "module FAB3 alarm under-repair"},
    {"alarm 17 severity cleared", "alarm 17 severity cleared"},
    {"sensor inlet sensor-status ok", "sensor inlet sensor-status ok"},
    {"fan-tray TRAY1 at least 7200 rpm", "fan-tray TRAY1 at least 7200 rpm"},
    {"sensor inlet at most 38.5 °C", "sensor inlet at most 38.5 C"},
    {"sensor inlet above -5C", "sensor inlet above -5 C"},
    {"port eth1 below 400G", "port eth1 below 400 Gb/s"},
    {"port eth1 below 20%", "port eth1 below 20 %"},
    {"power-supply PSU1 below 1.2 kW", "power-supply PSU1 below 1200 W"},
    // names
    {"module \"FAB3\" up", "module FAB3 up"},
    {"module \"FAB 3\" up", "module \"FAB 3\" up"},
    {"module \"up\" up", "module \"up\" up"},
    {"module \"a \\\"b\\\" \\\\\" up", "module \"a \\\"b\\\" \\\\\" up"},
    {"module \"Lüfter\" up", "module \"Lüfter\" up"},
    {"port 0/1:2.100 up", "port 0/1:2.100 up"},
    {"module locked admin locked", "module locked admin locked"},
    {"module upper up", "module upper up"},
    {"plane\"3\"up", "plane 3 up"},
    // groups
    {"every plane except 3,4 , \"5 a\" up", "every plane except 3, 4, \"5 a\" up"},
    {"every plane except 3 served by module FAB3 up",
     "every plane except 3 served by module FAB3 up"},
    {"every plane served by module FAB3 except 3 up",
     "every plane except 3 served by module FAB3 up"},
    {"every module covered by fan-tray TRAY1 operational",
     "every module covered by fan-tray TRAY1 operational"},
    {"at least 2 controller present", "at least 2 controller present"},
    {"at most 0 plane except 3 not up", "at most 0 plane except 3 not up"},
    {"at least 1 sensor at least 45 C", "at least 1 sensor at least 45 C"},
    // alarms
    {"no alarm", "no alarm"},
    {"no alarm at or above major", "no alarm at or above major"},
    // connectives
    {"module FAB3 not operational", "not module FAB3 operational"},
    {"not not plane 3 up", "not not plane 3 up"},
    {"plane 3 up or plane 4 up and plane 5 up", "plane 3 up or plane 4 up and plane 5 up"},
    {"(plane 3 up or plane 4 up) and plane 5 up", "(plane 3 up or plane 4 up) and plane 5 up"},
    {"((plane 3 up))", "plane 3 up"},
    {"(plane 3 up and plane 4 up) and plane 5 up", "(plane 3 up and plane 4 up) and plane 5 up"},
    {"(plane 3 up and plane 4 up) or plane 5 up", "plane 3 up and plane 4 up or plane 5 up"},
    {"not(plane 3 up or plane 4 up)", "not (plane 3 up or plane 4 up)"},
    {"not (plane 3 up)", "not plane 3 up"},
    {"(plane 3 up)and(plane 4 up)", "plane 3 up and plane 4 up"},
    {"not plane 3 up and plane 4 up", "not plane 3 up and plane 4 up"},
    // for and within
    {"  plane   3  up  ", "plane 3 up"},
    {"plane 3 up within 5 min for 10 s", "plane 3 up for 10 s within 5 min"},
    {"plane 3 up for 90s", "plane 3 up for 1 min 30 s"},
    {"plane 3 up within 1h30min", "plane 3 up within 1 h 30 min"},
    {"plane 3 up or plane 4 up for 250 ms", "plane 3 up or plane 4 up for 250 ms"},
    {"plane 3 up within 366 d", "plane 3 up within 366 d"},
    {"plane 3 up for 999 ms within 1 s", "plane 3 up for 999 ms within 1 s"},
    // capacity, and comparisons with what was seen earlier
    {"capacity without every plane served by module FAB3 covers load with 12.50 % margin",
     "capacity without every plane served by module FAB3 covers load with 12.5 % margin"},
    {"capacity without module FAB3 covers load with 0 % margin",
     "capacity without module FAB3 covers load with 0 % margin"},
    {"no new alarm since baseline", "no new alarm since baseline"},
    {"no new alarm at or above minor since baseline",
     "no new alarm at or above minor since baseline"},
    {"module FAB3 serial differs from baseline", "module FAB3 serial differs from baseline"},
    {"every module except FAB3 serial as in baseline",
     "every module except FAB3 serial as in baseline"},
    {"module FAB3 software-rev as in baseline", "module FAB3 software-rev as in baseline"},
    {"every neighbour system-name as in baseline", "every neighbour system-name as in baseline"},
    {"neighbour eth1 port-id differs from baseline",
     "neighbour eth1 port-id differs from baseline"},
    {"at least 30 neighbour up", "at least 30 neighbour up"},
    {"every port up in baseline is up", "every port up in baseline is up"},
    {"every port except eth1 up in baseline is oper enabled",
     "every port except eth1 up in baseline is oper enabled"},
    {"errors of plane 3 not rising", "errors of plane 3 not rising"},
    {"errors of every plane except 3 not rising", "errors of every plane except 3 not rising"},
});

} // namespace slotwitness::sentences
