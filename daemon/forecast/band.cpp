#include "band.hpp"

#include "belief.hpp"
#include "bounds.hpp"

namespace slotwitness::forecast {
namespace {

constexpr int points = 24;
constexpr double finest = 0.01; // °C, less than a line's width

/// The temperature below which it is with this probability.
double quantile(const std::vector<Course>& courses, double seconds, double probability) {
    double low = bounds::coldest;
    double high = bounds::hottest;
    while (high - low > finest) {
        const double celsius = (low + high) / 2;
        (1 - reached(courses, celsius, seconds) < probability ? low : high) = celsius;
    }
    return (low + high) / 2;
}

} // namespace

Band band(const Belief& belief, units::Instant horizon) {
    Band band;
    if (belief.courses.empty() || horizon <= belief.last)
        return band;
    for (int i = 0; i <= points; ++i) {
        const units::Instant at = belief.last + (horizon - belief.last) * i / points;
        const double seconds = std::chrono::duration<double>(at - belief.first).count();
        band.push_back({at, quantile(belief.courses, seconds, bounds::early),
                        quantile(belief.courses, seconds, bounds::middle),
                        quantile(belief.courses, seconds, 1 - bounds::early)});
    }
    return band;
}

} // namespace slotwitness::forecast
