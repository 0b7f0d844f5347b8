#include "belief.hpp"
#include "bounds.hpp"
#include "checked.hpp"
#include "projection.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

namespace slotwitness::forecast {
namespace {

/// Twice the middle, so that it stays a whole number.
units::Duration twice_middle(const Look& look) {
    return look.earliest.time_since_epoch() + look.latest.time_since_epoch();
}

units::Duration width(const Look& look) {
    return look.latest - look.earliest;
}

double in_seconds(units::Duration duration) {
    return std::chrono::duration<double>(duration).count();
}

NotIdentified not_identified(Why why, std::string words) {
    return {why, std::move(words), {}};
}

std::optional<NotIdentified> unfit(std::span<const Look> looks, const Sensor& sensor) {
    const auto sensible = [](double celsius) {
        return celsius >= bounds::finest && celsius <= bounds::hottest - bounds::coldest;
    };
    if (!sensible(sensor.step) || !sensible(sensor.noise))
        return not_identified(Why::absurd,
                              "a sensor's step or noise is not a number from 0.0001 C on; state "
                              "what it prints");
    std::size_t instants = 0;
    for (std::size_t n = 0; n < looks.size(); ++n) {
        const Look* before = n > 0 ? &looks[n - 1] : nullptr;
        if (auto refused = unusable(looks[n], before))
            return refused;
        instants += !before || twice_middle(*before) < twice_middle(looks[n]) ? 1 : 0;
    }
    if (instants < bounds::fewest_looks)
        return not_identified(Why::too_few_looks, "fewer than three looks at different times since "
                                                  "cooling changed; wait for more");
    return std::nullopt;
}

/// How many looks may show one and the same answer that the device had not renewed, in the mean:
/// as many as there are for each of those whose spans do not meet.
double looks_an_answer(std::span<const Look> looks) {
    const Look* before = &looks.front();
    std::size_t answers = 1;
    for (const Look& look : looks)
        if (look.earliest > before->latest) {
            ++answers;
            before = &look;
        }
    return static_cast<double>(looks.size()) / static_cast<double>(answers);
}

/// The looks with their errors. Looks at one answer share its noise, so that together they count as
/// one. All are weighed by the mean number of such looks, whatever they tell: weights that depend
/// on what is told would draw the course towards some of it.
class Weighed {
  public:
    Weighed(std::span<const Look> looks, const Sensor& sensor)
        : looks_(looks), rounding_(sensor.step * sensor.step / 12),
          noise_(sensor.noise * sensor.noise), alike_(looks_an_answer(looks)) {
        double lowest = looks.front().celsius;
        range_ = lowest;
        for (std::size_t n = 0; n < looks.size(); ++n) {
            lowest = std::min(lowest, looks[n].celsius);
            range_ = std::max(range_, looks[n].celsius);
            samples_.push_back(
                {.seconds = in_seconds(twice_middle(looks[n]) - twice_middle(looks.front())) / 2,
                 .celsius = looks[n].celsius,
                 .weight = 1 / (noise_ + rounding_)});
        }
        range_ -= lowest;
    }

    /// Anew for how fast the temperature changes in that course.
    void weigh(const Projected& course) {
        for (std::size_t n = 0; n < samples_.size(); ++n)
            samples_[n].weight = 1 / (alike_ * (noise_ + rounding_ + ageing(course, n)));
    }

    [[nodiscard]] std::span<const Sample> samples() const { return samples_; }

    [[nodiscard]] double residual(const Projected& course, std::size_t n) const {
        const double span = samples_.back().seconds;
        const double off = shape(course.time_constant, span, samples_[n].seconds) - course.middle;
        return samples_[n].celsius - course.level - course.rise * off;
    }

    /// Mean square residual, in multiples of what is expected of one look, and in °C². 0 for three.
    struct Misfit {
        double relative = 0;
        double square = 0;
    };
    [[nodiscard]] Misfit misfit(const Projected& course) const {
        Misfit sum;
        if (samples_.size() <= bounds::fewest_looks)
            return sum;
        for (std::size_t n = 0; n < samples_.size(); ++n) {
            const double square = residual(course, n) * residual(course, n);
            sum.square += square;
            sum.relative += square / (noise_ + rounding_ + ageing(course, n));
        }
        const auto free = static_cast<double>(samples_.size() - bounds::fewest_looks);
        return {sum.relative / free, sum.square / free};
    }

  private:
    /// Variance by the unknown age of a look, evenly spread over it; never more than all that was
    /// seen, for a τ far below the looks' distance has no rate worth the name.
    [[nodiscard]] double ageing(const Projected& course, std::size_t n) const {
        const double rate = course.rise * shape_rate(course.time_constant, samples_.back().seconds,
                                                     samples_[n].seconds);
        const double change = std::min(std::abs(rate) * in_seconds(width(looks_[n])), range_);
        return change * change / 12;
    }

    std::span<const Look> looks_;
    double rounding_; ///< °C², of an error evenly spread over one step
    double noise_;    ///< °C²
    double alike_;
    double range_ = 0; ///< °C between the coldest look and the hottest
    std::vector<Sample> samples_;
};

/// The first τ from the best one on, downwards or upwards, at which the deviance has risen by
/// `rise`, from outside to within 1 part in 250; the end of the bracket where it does not.
double bound(std::span<const Sample> samples, const Search& found, double rise, bool upwards) {
    const double most = found.best.deviance + rise;
    double near = found.best.time_constant;
    const auto towards = [&](auto at, auto end) {
        for (; at != end; ++at) {
            const double far = at->time_constant;
            if (upwards ? far <= near : far >= near)
                continue;
            if (at->deviance > most)
                return far;
            near = far;
        }
        return near;
    };
    const auto& all = found.scanned;
    double far = upwards ? towards(all.begin(), all.end()) : towards(all.rbegin(), all.rend());
    for (int halving = 0; halving < 6; ++halving) {
        const double at = std::sqrt(near * far);
        (project(samples, at).deviance > most ? far : near) = at;
    }
    return far;
}

double change_of(const Projected& course, double span) {
    return course.rise * shape(course.time_constant, span, span);
}

/// What speaks against a fit, in the order in which it would be seen by eye.
std::optional<NotIdentified> doubted(const Weighed& weighed, const Sensor& sensor,
                                     const Search& found, double inflation) {
    const auto samples = weighed.samples();
    const double span = samples.back().seconds;
    const Projected line = project(samples, straight_line);
    const double needed = bounds::least_change * std::hypot(sensor.step, sensor.noise);
    if (std::abs(change_of(found.best, span)) < needed && std::abs(line.rise) < needed)
        return not_identified(Why::too_little_change,
                              "the temperature has changed too little against the step that the "
                              "sensor prints; wait for more");
    if (found.best.rise < 0)
        return not_identified(Why::falls,
                              "the temperature falls; see whether cooling is reduced at "
                              "this sensor at all");
    for (const double part : {1.0, 0.2})
        if (project(samples, -part * span).deviance + bounds::excludes * inflation <
            found.best.deviance)
            return not_identified(Why::accelerates,
                                  "the temperature rises faster and faster; no forecast holds, "
                                  "restore cooling");
    if (inflation >= bounds::most_misfit)
        return not_identified(
            Why::does_not_follow,
            "the looks scatter too far about every course; something else changed "
            "meanwhile, begin anew");
    const double most = found.best.deviance + bounds::excludes * inflation;
    if (found.scanned.front().deviance < most)
        return not_identified(Why::settled_at_once,
                              "it settled between two looks, or one look stands alone; look more "
                              "often");
    if (line.deviance < most)
        return not_identified(Why::straight, "the looks cannot be told from a straight line, which "
                                             "has no end; only its early edge is known");
    return std::nullopt;
}

} // namespace

tl::expected<Fit, NotIdentified> fit(std::span<const Look> looks, const Sensor& sensor) {
    if (auto refused = unfit(looks, sensor))
        return tl::unexpected(*std::move(refused));

    Weighed weighed(looks, sensor);
    weighed.weigh(search(weighed.samples()).best);
    const auto samples = weighed.samples();
    const Search found = search(samples);
    const auto misfit = weighed.misfit(found.best);
    const double inflation = std::max(1.0, misfit.relative);

    const auto middle = [](const Look& look) { return look.earliest + width(look) / 2; };
    Belief belief;
    belief.first = middle(looks.front());
    belief.last = middle(looks.back());
    for (const Look& look : looks)
        belief.age = std::max(belief.age, (width(look) + units::Duration(1)) / 2);

    if (auto doubt = doubted(weighed, sensor, found, inflation)) {
        if (doubt->why == Why::straight) {
            belief.courses = {straight_course(samples, inflation)};
            doubt->earliest = std::move(belief);
        }
        return tl::unexpected(*std::move(doubt));
    }

    const auto at = [&](double rise, bool upwards) {
        return bound(samples, found, rise * inflation, upwards);
    };
    belief.courses =
        courses(samples, at(bounds::negligible, false), at(bounds::negligible, true), inflation);
    const Projected& best = found.best;
    return Fit{.start_celsius = best.level - best.rise * best.middle,
               .settles_celsius = best.level + best.rise * (1 - best.middle),
               .time_constant = best.time_constant,
               .time_constant_low = at(bounds::interval, false),
               .time_constant_high = at(bounds::interval, true),
               .spread = std::sqrt(misfit.square),
               .belief = std::move(belief)};
}

} // namespace slotwitness::forecast
