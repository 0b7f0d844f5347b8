#pragma once

#include <limits>
#include <span>
#include <vector>

/// Least squares with everything but τ projected out.
namespace slotwitness::forecast {

inline constexpr double straight_line = std::numeric_limits<double>::infinity();

struct Sample {
    double seconds = 0; ///< since the first one
    double celsius = 0;
    double weight = 0; ///< 1/°C²: the inverse of its variance
};

/// 1 − e^(−t/τ) and its derivative by t; t/span for a straight line. τ < 0 is a course that
/// accelerates.
[[nodiscard]] double shape(double time_constant, double span, double seconds);
[[nodiscard]] double shape_rate(double time_constant, double span, double seconds);

/// The best course for one τ: level + rise·(g(t) − middle).
struct Projected {
    double time_constant = 0;
    double level = 0;    ///< °C
    double middle = 0;   ///< weighted mean of g
    double rise = 0;     ///< °C
    double weights = 0;  ///< sum of the weights
    double scatter = 0;  ///< weighted sum of (g − middle)²
    double deviance = 0; ///< weighted sum of squared residuals
    /// Of the deviance by ln τ. The two linear unknowns are at their best, so their own derivatives
    /// drop out of it (Golub and Pereyra 1973).
    double slope = 0;
};

/// At least two samples at different times.
[[nodiscard]] Projected project(std::span<const Sample> samples, double time_constant);

/// The search over τ between the room's bounds, as multiples of the span.
struct Search {
    Projected best;
    std::vector<Projected> scanned; ///< evenly spaced in ln τ, rising; both ends of the bracket
};
[[nodiscard]] Search search(std::span<const Sample> samples);

} // namespace slotwitness::forecast
