#include "traces.hpp"

#include <slotwitness/forecast/segment.hpp>

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <iostream>
#include <string>

// Whether the 90 % early edge is one: on traces whose truth is known it may be later than the true
// crossing in one of ten. What else would make that true (never identified, absurdly early) is
// measured and bounded as well.
namespace slotwitness::forecast {
namespace {

int how_many_traces() {
    if (const char* set = std::getenv("SLOTWITNESS_LONG"); set && std::string(set) == "1")
        return 100'000;
#ifdef __SANITIZE_ADDRESS__
    return 500; // instrumented, it is the memory that is looked at
#else
    return 10'000;
#endif
}

/// 10 %, and three standard deviations of a count that has them.
double most_late(int of) {
    return 0.1 * of + 3 * std::sqrt(0.1 * 0.9 * of);
}

struct Tally {
    int traces = 0;
    int late = 0;
    int dismissed = 0;             ///< "not within the horizon", though it was
    std::vector<double> earliness; ///< of the true time that was left

    void count(const Belief& belief, double limit, double crosses) {
        ++traces;
        const double now = seconds(belief.last);
        const auto said = crossing(belief, limit, after(crosses + 36'000)).value();
        const auto* within = std::get_if<Within>(&said);
        if (!within) {
            ++dismissed;
            ++late;
            return;
        }
        const double edge = seconds(within->early_edge);
        late += edge > crosses ? 1 : 0;
        earliness.push_back((crosses - std::max(edge, now)) / (crosses - now));
    }

    [[nodiscard]] double median_earliness() {
        if (earliness.empty())
            return 1;
        const auto middle = earliness.begin() + static_cast<std::ptrdiff_t>(earliness.size() / 2);
        std::nth_element(earliness.begin(), middle, earliness.end());
        return *middle;
    }

    void print(const std::string& name, int of) {
        if (traces == 0)
            return;
        std::cout << "  " << name << ": " << traces << " of " << of << ", late " << late << " ("
                  << 100.0 * late / traces << " %), dismissed " << dismissed
                  << ", median earliness " << 100 * median_earliness() << " % of the time left\n";
    }
};

struct Counted {
    int traces = 0;
    int with_enough = 0; ///< looks over a whole τ or more
    Tally all;           ///< identified
    Tally enough;        ///< identified, with enough looks
    Tally few;           ///< identified, three to ten looks
    Tally straight;      ///< early edge of a straight line
};

struct Kind {
    Looking looking;
    Sensor sensor;
    bool steps = false; ///< the fans change their speed while looks are taken
    double least_minutes = 1;
    double most_minutes = 20;
    int most_looks = 150;
    double most_apart = 10; ///< seconds from look to look, 2 at least
};

Truth random_truth(const Kind& kind, double start, std::mt19937_64& random) {
    const double settles = start + between(12, 60, random);
    return {start, settles, 60 * between(kind.least_minutes, kind.most_minutes, random)};
}

void one_trace(const Kind& kind, std::mt19937_64& random, Counted& counted) {
    Truth truth = random_truth(kind, between(25, 50, random), random);
    const double apart = between(2, kind.most_apart, random);
    double from = 0; // the truth's own zero of time
    Segment segment(kind.sensor, after(0));
    if (kind.steps) {
        from = between(50, 300, random);
        for (const Look& look :
             looks_at(truth, kind.looking, static_cast<int>(from / apart), 0.0, apart, random))
            ASSERT_TRUE(segment.take(look));
        truth = random_truth(kind, truth.celsius(from), random);
        segment.begin_anew(after(from));
    }
    const double spans = between(0.02, 2, random); // of τ, unless the looks would be too many
    const int count =
        std::clamp(static_cast<int>(spans * truth.time_constant / apart), 3, kind.most_looks);
    for (const Look& look : looks_at(truth, kind.looking, count, from, apart, random))
        ASSERT_TRUE(segment.take(look));
    const auto looks = segment.looks();
    const double end = seconds(looks.back().latest) - from;
    const double now = truth.celsius(end);
    const double limit = now + between(0.05, 0.95, random) * (truth.settles - now);
    const double crosses = from + truth.reaches(limit);

    ++counted.traces;
    const bool enough = end >= truth.time_constant;
    counted.with_enough += enough ? 1 : 0;
    const auto fitted = segment.fit();
    if (fitted) {
        counted.all.count(fitted->belief, limit, crosses);
        if (enough)
            counted.enough.count(fitted->belief, limit, crosses);
        if (count <= 10)
            counted.few.count(fitted->belief, limit, crosses);
    } else if (fitted.error().earliest) {
        counted.straight.count(*fitted.error().earliest, limit, crosses);
    }
}

/// Prints what it measured, and holds the early edges to one late in ten.
Counted measure(const std::string& name, const Kind& kind, int traces) {
    std::mt19937_64 random(20'261'126);
    Counted counted;
    for (int n = 0; n < traces; ++n)
        one_trace(kind, random, counted);
    std::cout << name << ", " << traces << " traces\n";
    counted.all.print("identified", counted.traces);
    counted.enough.print("identified, looks over a time constant", counted.with_enough);
    counted.few.print("identified, three to ten looks", counted.traces);
    counted.straight.print("straight line", counted.traces);
    for (const Tally* tally : {&counted.all, &counted.enough, &counted.few, &counted.straight})
        EXPECT_LE(tally->late, most_late(tally->traces)) << name;
    return counted;
}

void expect_useful(Counted& counted) {
    EXPECT_GE(counted.all.traces, counted.traces / 2) << "most are identified";
    EXPECT_GE(counted.enough.traces, counted.with_enough * 95 / 100)
        << "nearly all with looks over a time constant are";
    EXPECT_GT(counted.with_enough, counted.traces / 5) << "and those are tried";
    EXPECT_LE(counted.all.median_earliness(), 0.30) << "of the time that is left";
    EXPECT_LE(counted.enough.median_earliness(), 0.25);
    EXPECT_LE(counted.straight.median_earliness(), 0.60);
}

TEST(EarlyEdge, is_late_in_one_of_ten_traces_at_most) {
    Counted counted = measure("1 C steps, noise 0.3 C", {}, how_many_traces());
    expect_useful(counted);
}

TEST(EarlyEdge, holds_after_the_fans_changed_their_speed) {
    Counted counted = measure("after a step of the fans",
                              {.looking = {}, .sensor = {}, .steps = true}, how_many_traces() / 10);
    expect_useful(counted);
}

TEST(EarlyEdge, holds_from_three_looks_on) {
    const Kind kind{.looking = {.noise = 0.1, .step = 0.1, .renewed = 0},
                    .sensor = {.step = 0.1, .noise = 0.1},
                    .steps = true,
                    .least_minutes = 0.2,
                    .most_minutes = 1,
                    .most_looks = 6};
    Counted counted = measure("three to six looks, 0.1 C steps", kind, how_many_traces() / 2);
    EXPECT_GE(counted.few.traces, counted.traces / 4);
    EXPECT_LE(counted.few.median_earliness(), 0.4);
}

// Its rounding errors are no chance: they repeat from step to step.
TEST(EarlyEdge, holds_for_a_sensor_without_noise) {
    const Kind kind{.looking = {.noise = 0.001},
                    .sensor = {.step = 1, .noise = 0.01},
                    .steps = false,
                    .least_minutes = 10,
                    .most_minutes = 30,
                    .most_looks = 600};
    measure("1 C steps, no noise", kind, how_many_traces() / 20);
}

TEST(EarlyEdge, holds_for_twice_the_noise_that_was_stated) {
    const Kind kind{.looking = {.noise = 0.6}, .sensor = {}};
    measure("1 C steps, noise 0.6 C, stated 0.3 C", kind, how_many_traces() / 10);
}

// Many looks at one answer say no more than one.
TEST(EarlyEdge, holds_for_looks_more_frequent_than_answers) {
    const Kind kind{.looking = {.noise = 0.3, .step = 0.1, .renewed = 30, .tables = true},
                    .sensor = {.step = 0.1, .noise = 0.3},
                    .steps = false,
                    .least_minutes = 4,
                    .most_minutes = 10,
                    .most_looks = 600,
                    .most_apart = 2.5};
    measure("answers made each 30 s", kind, how_many_traces() / 10);
}

TEST(EarlyEdge, holds_where_each_answer_is_as_old_as_it_can_be) {
    const Kind kind{.looking = {.noise = 0.1, .step = 0.1, .renewed = 20, .always_old = true},
                    .sensor = {.step = 0.1, .noise = 0.1},
                    .steps = false,
                    .least_minutes = 2};
    measure("answers 20 s old", kind, how_many_traces() / 10);
}

} // namespace
} // namespace slotwitness::forecast
