#pragma once

#include "finding.hpp"
#include "view.hpp"

#include <slotwitness/units/quantity.hpp>

#include <map>
#include <optional>
#include <set>

namespace slotwitness::witness {

/// What a device tells beside a state that gives away a change between two looks.
struct Sign {
    std::optional<Duration> uptime; ///< in its state, as printed
    std::optional<units::Decimal> flaps;
    Look look; ///< that told the uptime
};

/// How coarsely an uptime may have been printed, judged by its value: a whole number of weeks,
/// days, hours or minutes may have been printed in that unit, cut off below it; else in seconds.
[[nodiscard]] Duration printed_precision(Duration uptime);

/// Did the component's state surely change between the two looks? R is the refresh of the tables:
/// each look shows the device at some instant in [asked − R, answered].
///
/// An uptime that fell did, also a flap counter that moved. With the uptimes u and u' printed, the
/// state began at or before `answered − u`, and after `asked' − R − u' − precision'`: if the latter
/// is not earlier than the former, another state began in between.
[[nodiscard]] bool moved(const Sign& former, const Sign& latter, Duration refresh);

/// The signs of the components that a gate's condition reads, look by look.
class Signs {
  public:
    struct Step {
        std::optional<Component> moved; ///< one whose state changed since its sign before this look
        bool all_tell =
            false; ///< what is read are components, and each tells an uptime or a flap count
    };
    [[nodiscard]] Step step(const View& view, const std::set<Component>& read, Look look,
                            Duration refresh);
    void forget() { signs_.clear(); }

  private:
    std::map<Component, Sign> signs_;
};

} // namespace slotwitness::witness
