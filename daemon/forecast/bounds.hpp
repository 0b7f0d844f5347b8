#pragma once

#include <slotwitness/units/time.hpp>

#include <cstddef>

/// All bounds of the room, with reasons.
namespace slotwitness::forecast::bounds {

/// °C that a sensor in a router can tell: beyond it is a fault or a wrong unit.
inline constexpr double coldest = -60;
inline constexpr double hottest = 250;

/// °C, the least step or noise that a sensor can have; below, weights could overflow.
inline constexpr double finest = 1e-4;

/// The last instant that RFC 3339 can name, and as far before the epoch; beyond, sums could
/// overflow.
inline constexpr units::Duration farthest{253'402'300'799'999};

/// Two unknown temperatures and τ: fewer looks fit exactly whatever they are.
inline constexpr std::size_t fewest_looks = 3;

/// τ is sought between these multiples of the looks' span. Below, all but the first look show the
/// end; above, the course differs from its chord by less than 1/160 of its rise.
inline constexpr double shortest = 0.01;
inline constexpr double longest = 20;

/// Change over the looks, in multiples of the printed step and the noise together (root of the sum
/// of squares), below which they say nothing of a course.
inline constexpr double least_change = 3;

/// A look's mean square deviation, in multiples of what step, noise and age explain, from which on
/// the model does not hold: twice the standard deviation.
inline constexpr double most_misfit = 4;

/// Rise of the deviance (−2 ln of the profile likelihood) that excludes a τ when it is asked
/// whether τ has a bound: two standard deviations (chi-squared, 1 degree of freedom, 95.4 %).
inline constexpr double excludes = 4;
/// Likewise for the interval that a fit tells: 90 %.
inline constexpr double interval = 2.706;
/// Beyond this a τ has less than 1/1000 of the best one's weight.
inline constexpr double negligible = 14;

/// °C, standard deviation about 0 of T∞ − T0 before any look. Wide beside what boards do; without
/// it ever longer τ with ever hotter ends would each count as much as what was seen.
inline constexpr double prior_rise = 100;

/// Values of τ, evenly spaced in log τ, for the search and for a belief.
inline constexpr std::size_t scanned = 32;
inline constexpr std::size_t courses = 40;

inline constexpr double early = 0.1;
inline constexpr double middle = 0.5;
/// A probability of reaching the limit below which it is "not within the horizon".
inline constexpr double dismissed = 0.01;

} // namespace slotwitness::forecast::bounds
