#include "projection.hpp"

#include "bounds.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace slotwitness::forecast {
namespace {

/// The zero of the slope between a τ where it is negative and one where it is positive: false
/// position, with the value of an end that stays halved (the Illinois method), in ln τ.
Projected refine(std::span<const Sample> samples, const Projected& left, const Projected& right) {
    constexpr int most_steps = 60; // a bisection alone would have reached the last bit by then
    constexpr double close_enough = 1e-10;
    double low = std::log(left.time_constant);
    double high = std::log(right.time_constant);
    double low_slope = left.slope;
    double high_slope = right.slope;
    Projected best = left.deviance < right.deviance ? left : right;
    int stayed = 0;
    for (int step = 0; step < most_steps && high - low > close_enough; ++step) {
        double at = (low * high_slope - high * low_slope) / (high_slope - low_slope);
        if (!(at > low && at < high))
            at = (low + high) / 2;
        const Projected here = project(samples, std::exp(at));
        if (here.deviance <= best.deviance)
            best = here;
        if (here.slope == 0)
            break;
        const bool falls = here.slope < 0;
        (falls ? low : high) = at;
        (falls ? low_slope : high_slope) = here.slope;
        if (stayed == (falls ? -1 : 1))
            (falls ? high_slope : low_slope) /= 2;
        stayed = falls ? -1 : 1;
    }
    return best;
}

} // namespace

double shape(double time_constant, double span, double seconds) {
    if (std::isinf(time_constant))
        return seconds / span;
    return -std::expm1(-seconds / time_constant);
}

double shape_rate(double time_constant, double span, double seconds) {
    if (std::isinf(time_constant))
        return 1 / span;
    return std::exp(-seconds / time_constant) / time_constant;
}

Projected project(std::span<const Sample> samples, double time_constant) {
    const double span = samples.back().seconds;
    Projected result{.time_constant = time_constant};
    std::vector<double> shapes;
    shapes.reserve(samples.size());
    for (const Sample& sample : samples) {
        shapes.push_back(shape(time_constant, span, sample.seconds));
        result.weights += sample.weight;
        result.middle += sample.weight * shapes.back();
        result.level += sample.weight * sample.celsius;
    }
    result.middle /= result.weights;
    result.level /= result.weights;
    double together = 0;
    for (std::size_t n = 0; n < samples.size(); ++n) {
        const double off = shapes[n] - result.middle;
        result.scatter += samples[n].weight * off * off;
        together += samples[n].weight * off * (samples[n].celsius - result.level);
    }
    result.rise = result.scatter > 0 ? together / result.scatter : 0;
    for (std::size_t n = 0; n < samples.size(); ++n) {
        const double residual =
            samples[n].celsius - result.level - result.rise * (shapes[n] - result.middle);
        result.deviance += samples[n].weight * residual * residual;
        // dg/d(ln τ) = −(t/τ)·e^(−t/τ), and e^(−t/τ) is 1 − g.
        if (!std::isinf(time_constant))
            result.slope += 2 * samples[n].weight * residual * result.rise *
                            (samples[n].seconds / time_constant) * (1 - shapes[n]);
    }
    return result;
}

Search search(std::span<const Sample> samples) {
    const double span = samples.back().seconds;
    const double first = std::log(bounds::shortest * span);
    const double last = std::log(bounds::longest * span);
    Search result;
    for (std::size_t n = 0; n < bounds::scanned; ++n)
        result.scanned.push_back(
            project(samples, std::exp(first + (last - first) * static_cast<double>(n) /
                                                  static_cast<double>(bounds::scanned - 1))));
    const auto least = std::min_element(
        result.scanned.begin(), result.scanned.end(),
        [](const Projected& a, const Projected& b) { return a.deviance < b.deviance; });
    result.best = *least;
    // The deviance may have its least value at an end of the bracket: then τ has no bound there.
    const auto left =
        least->slope > 0 && least != result.scanned.begin() ? std::prev(least) : least;
    if (std::next(left) == result.scanned.end())
        return result;
    const auto right = std::next(left);
    if (left->slope < 0 && right->slope > 0)
        result.best = refine(samples, *left, *right);
    return result;
}

} // namespace slotwitness::forecast
