#pragma once

#include "look.hpp"

#include <tl/expected.hpp>

#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

/// The response of a body whose inside is at one temperature (lumped capacitance, for a Biot number
/// below 0.1), after its cooling changed:
///
///     T(t) = T∞ − (T∞ − T0)·e^(−t/τ)
///
/// fitted by variable projection (Golub and Pereyra 1973, "The Differentiation of Pseudo-Inverses
/// and Nonlinear Least Squares Problems Whose Variables Separate", SIAM J. Numer. Anal. 10): for a
/// given τ the problem is linear in the two temperatures, so the search is over τ alone.
///
/// A forecast can only shorten a clock that somebody else set. It is never a promise.
namespace slotwitness::forecast {

/// One course that the looks allow: T(t) = level + rise·(g(t) − middle), where g(t) is
/// 1 − e^(−t/τ), or t/span for a straight line; t in seconds since the first look.
struct Course {
    double time_constant = 0;  ///< τ in seconds; infinite for a straight line
    double span = 0;           ///< seconds from the first look to the last
    double weight = 0;         ///< probability of this τ; those of a belief sum to 1
    double level = 0;          ///< °C, weighted mean of the looks
    double middle = 0;         ///< weighted mean of g at the looks
    double rise = 0;           ///< °C for a whole unit of g
    double level_variance = 0; ///< °C²; level and rise are uncorrelated
    double rise_variance = 0;  ///< °C²
};

/// What the looks of one segment say about the temperature after them: a mixture of courses.
struct Belief {
    units::Instant first; ///< the middle of the first look: t = 0
    units::Instant last;  ///< the middle of the last one
    /// Half of the widest look. All looks may be as old as they can be, each time: the early edge
    /// is earlier by it.
    units::Duration age{};
    std::vector<Course> courses;
};

struct Fit {
    double start_celsius = 0;   ///< T0, at belief.first
    double settles_celsius = 0; ///< T∞; more than T0
    double time_constant = 0;   ///< τ in seconds
    /// Within these the profile likelihood of τ is inside its 90 % bound; in seconds.
    double time_constant_low = 0;
    double time_constant_high = 0;
    double spread = 0; ///< °C, standard deviation of the looks about the fit; 0 for three looks
    Belief belief;
};

enum class Why {
    absurd, ///< a number that is not finite or outside what a board can have, times out of order
    too_few_looks,     ///< fewer than three different instants
    too_little_change, ///< against the printed step and the noise
    falls,             ///< it grows cooler: reduced cooling does not do that
    accelerates,       ///< it rises faster and faster, which no first-order response does
    straight,          ///< τ has no upper bound: it may rise so for ever. There is `earliest`.
    settled_at_once,   ///< τ has no lower bound: it settled between two looks
    does_not_follow,   ///< the looks scatter too far about every course of the model
};

/// No fit, and why. `words` are for a person: what was seen, and what would mend it.
struct NotIdentified {
    Why why{};
    std::string words;
    /// Only for `straight`: the looks' straight line, for `crossing`. By the model it is never
    /// later than a course with a finite τ: T is concave, so T minus its least-squares line has,
    /// among the looks, exactly two changes of sign (it is orthogonal to 1 and to t, and a concave
    /// function meets a line at most twice), from below to above to below; after the last look T is
    /// below the line. Noise without a mean moves the line's value there by a normal deviate, for
    /// which the early edge allows.
    std::optional<Belief> earliest;
};

/// `looks` in order of time, all of one segment (segment.hpp). Errors: NotIdentified.
[[nodiscard]] tl::expected<Fit, NotIdentified> fit(std::span<const Look> looks,
                                                   const Sensor& sensor);

/// The limit may be reached by the horizon.
struct Within {
    /// By the belief, the limit is reached before this instant with a probability of at most 10 %,
    /// also given that it is reached by the horizon at all. May lie before the last look: then it
    /// may be past already.
    units::Instant early_edge;
    units::Instant median;  ///< likewise, 50 %
    double probability = 0; ///< that it is reached by the horizon
};

/// The looks say with 99 % that the limit is not reached by `horizon`. Nothing is said of any later
/// instant, nor of what happens if cooling, load or room change.
struct NotWithinHorizon {
    units::Instant horizon;
};

using Crossing = std::variant<Within, NotWithinHorizon>;

/// When the temperature reaches `limit` °C from below, up to `horizon`, which is at or after the
/// last look. From a straight line only the early edge may be used: it knows no later bound.
/// Errors: Why::absurd, for a limit that no board has, a horizon before the last look, or an empty
/// belief.
[[nodiscard]] tl::expected<Crossing, NotIdentified> crossing(const Belief& belief, double limit,
                                                             units::Instant horizon);

} // namespace slotwitness::forecast
