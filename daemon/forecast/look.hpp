#pragma once

#include <slotwitness/units/time.hpp>

/// When a sensor reaches a limit while cooling is reduced: pure, no I/O, no clock, no chance.
/// Nothing here turns "no look" into a temperature: a sensor that is missing is not a cool one.
namespace slotwitness::forecast {

/// One temperature that a device told. It was so at some instant in [earliest, latest]: a device
/// that renews its answers every R shows, in an answer, what was so in [asked − R, answered].
struct Look {
    units::Instant earliest;
    units::Instant latest;
    double celsius = 0;
};

/// What is known of a sensor before it is looked at.
struct Sensor {
    /// °C between two values that it can print (1, 0.1); 0.0001 at least. It prints the nearest
    /// one. For a device that cuts digits off instead, ask for a limit that is one step lower.
    double step = 1;
    /// °C, the standard deviation of what it measures, before it is printed; 0.0001 at least. Looks
    /// that scatter more raise it for their fit; none lowers it, for a few looks may agree by
    /// chance.
    double noise = 0.3;
};

} // namespace slotwitness::forecast
