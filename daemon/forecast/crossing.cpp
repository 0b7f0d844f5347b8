#include "belief.hpp"
#include "bounds.hpp"
#include "checked.hpp"

#include <cmath>

namespace slotwitness::forecast {
namespace {

double seconds_of(units::Duration duration) {
    return std::chrono::duration<double>(duration).count();
}

/// The earliest whole millisecond at or before which the probability passes `wanted`, rounded down.
/// The first look's instant at the earliest.
units::Instant quantile(const Belief& belief, double limit, units::Instant horizon, double wanted) {
    double low = 0;
    double high = seconds_of(horizon - belief.first);
    for (int step = 0; step < 64 && high - low > 0.0005; ++step) {
        const double at = (low + high) / 2;
        (reached(belief.courses, limit, at) < wanted ? low : high) = at;
    }
    return belief.first + units::Duration(static_cast<units::Duration::rep>(low * 1000));
}

} // namespace

tl::expected<Crossing, NotIdentified> crossing(const Belief& belief, double limit,
                                               units::Instant horizon) {
    if (!believable(limit))
        return tl::unexpected(
            NotIdentified{Why::absurd,
                          "the limit is not a number between -60 and 250 C; mend the procedure",
                          {}});
    if (belief.courses.empty())
        return tl::unexpected(
            NotIdentified{Why::absurd, "there is no belief; fit looks first", {}});
    if (!believable(horizon) || horizon < belief.last)
        return tl::unexpected(NotIdentified{
            Why::absurd,
            "the horizon is before the last look or after the year 9999; give another",
            {}});
    const double whole = reached(belief.courses, limit, seconds_of(horizon - belief.first));
    if (!(whole >= bounds::dismissed))
        return NotWithinHorizon{horizon};
    return Within{.early_edge =
                      quantile(belief, limit, horizon, bounds::early * whole) - belief.age,
                  .median = quantile(belief, limit, horizon, bounds::middle * whole),
                  .probability = whole};
}

} // namespace slotwitness::forecast
