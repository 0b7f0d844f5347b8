#pragma once

#include "forecast.hpp"
#include "projection.hpp"

#include <vector>

namespace slotwitness::forecast {

/// The courses from τ = `low` to `high`, each with its probability: the likelihood with level and
/// rise integrated out (in closed form: they are normal), ln τ even, level even, rise as
/// bounds::prior_rise. `inflation` (≥ 1) multiplies the variance of each sample. A belief in ln τ
/// that is averaged over holds also for those looks alone that a fit is told for, which a bound on
/// the likelihood would not.
[[nodiscard]] std::vector<Course> courses(std::span<const Sample> samples, double low, double high,
                                          double inflation);

/// The one straight line.
[[nodiscard]] Course straight_course(std::span<const Sample> samples, double inflation);

/// Probability that the temperature is at or above `limit` at `seconds` after the first look.
[[nodiscard]] double reached(const std::vector<Course>& courses, double limit, double seconds);

} // namespace slotwitness::forecast
