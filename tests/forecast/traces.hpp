#pragma once

#include <slotwitness/forecast/forecast.hpp>

#include <cstdint>
#include <random>
#include <vector>

/// Courses with known truth, and looks at them as a device gives them.
namespace slotwitness::forecast {

struct Truth {
    double start = 0;         ///< T0, °C
    double settles = 0;       ///< T∞, °C
    double time_constant = 0; ///< τ, seconds
    [[nodiscard]] double celsius(double seconds) const;
    /// Seconds after which `limit` is reached.
    [[nodiscard]] double reaches(double limit) const;
};

/// The one that tests take where any would do.
inline constexpr Truth warming{30, 60, 100};

[[nodiscard]] units::Instant after(double seconds);
[[nodiscard]] double seconds(units::Instant at);

/// A look of no width.
[[nodiscard]] Look exact(double seconds, double celsius);
/// `count` exact looks, `apart` seconds apart, the first one at 0; not printed, so not rounded.
[[nodiscard]] std::vector<Look> exact_looks(const Truth& truth, int count, double apart);

/// How a device is looked at.
struct Looking {
    double noise = 0.3;      ///< °C, normal
    double step = 1;         ///< °C
    double renewed = 2;      ///< R, seconds: an answer is so old at most
    bool always_old = false; ///< each answer is as old as it can be
    bool tables = false;     ///< each whole R one answer is made, and shown until the next one
};

/// `count` looks from `from` seconds on, some `apart` seconds apart (irregularly, by up to a
/// fifth). The truth's own time begins at `from`.
[[nodiscard]] std::vector<Look> looks_at(const Truth& truth, const Looking& looking, int count,
                                         double from, double apart, std::mt19937_64& random);

[[nodiscard]] double between(double low, double high, std::mt19937_64& random);

} // namespace slotwitness::forecast
