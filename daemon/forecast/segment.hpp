#pragma once

#include "forecast.hpp"

#include <span>
#include <vector>

namespace slotwitness::forecast {

/// The looks at one sensor while nothing changed that its course depends on. Whoever knows of a
/// change of tray, module or fan speed begins anew; the room cannot see it. Not for several
/// threads.
class Segment {
  public:
    /// From `since` on; looks that may show what was so before are refused.
    Segment(Sensor sensor, units::Instant since) : sensor_(sensor), since_(since) {}

    /// Errors, after which the segment is as it was: Why::absurd, for a number or a span of time
    /// that cannot be, a look that may be older than the segment or begins or ends before the one
    /// before it.
    tl::expected<void, NotIdentified> take(const Look& look);

    /// Forgets all looks: `since` is the latest instant at which the change may have happened.
    void begin_anew(units::Instant since);

    [[nodiscard]] std::span<const Look> looks() const { return looks_; }
    [[nodiscard]] tl::expected<Fit, NotIdentified> fit() const {
        return forecast::fit(looks_, sensor_);
    }

  private:
    Sensor sensor_;
    units::Instant since_;
    std::vector<Look> looks_;
};

} // namespace slotwitness::forecast
