#include "belief.hpp"

#include "bounds.hpp"

#include <algorithm>
#include <cmath>

namespace slotwitness::forecast {

std::vector<Course> courses(std::span<const Sample> samples, double low, double high,
                            double inflation) {
    const double prior = inflation / (bounds::prior_rise * bounds::prior_rise);
    std::vector<Course> result;
    for (std::size_t n = 0; n < bounds::courses; ++n) {
        const double part = static_cast<double>(n) / static_cast<double>(bounds::courses - 1);
        const Projected here = project(samples, low * std::pow(high / low, part));
        const double precision = here.scatter + prior;
        const double rise = here.rise * here.scatter / precision;
        // The deviance with the prior: what is left, and what drawing the rise towards 0 costs.
        const double deviance = here.deviance + prior * here.rise * rise;
        result.push_back({.time_constant = here.time_constant,
                          .span = samples.back().seconds,
                          .weight = -(deviance / inflation + std::log(precision)) / 2,
                          .level = here.level,
                          .middle = here.middle,
                          .rise = rise,
                          .level_variance = inflation / here.weights,
                          .rise_variance = inflation / precision});
    }
    double greatest = result.front().weight;
    for (const Course& course : result)
        greatest = std::max(greatest, course.weight);
    double sum = 0;
    for (Course& course : result)
        sum += course.weight = std::exp(course.weight - greatest);
    for (Course& course : result)
        course.weight /= sum;
    return result;
}

Course straight_course(std::span<const Sample> samples, double inflation) {
    const Projected line = project(samples, straight_line);
    return {.time_constant = straight_line,
            .span = samples.back().seconds,
            .weight = 1,
            .level = line.level,
            .middle = line.middle,
            .rise = line.rise,
            .level_variance = inflation / line.weights,
            .rise_variance = inflation / line.scatter};
}

double reached(const std::vector<Course>& courses, double limit, double seconds) {
    double sum = 0;
    for (const Course& course : courses) {
        const double off = shape(course.time_constant, course.span, seconds) - course.middle;
        const double above = course.level + course.rise * off - limit;
        const double variance = course.level_variance + course.rise_variance * off * off;
        sum += course.weight * std::erfc(-above / std::sqrt(2 * variance)) / 2;
    }
    return sum;
}

} // namespace slotwitness::forecast
