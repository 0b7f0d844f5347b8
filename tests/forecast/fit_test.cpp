#include "traces.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace slotwitness::forecast {
namespace {

const Sensor fine{.step = 1e-3, .noise = 1e-3};

// Lumped capacitance, the usual textbook example: a thermocouple junction, a sphere of 1 mm, k 35,
// ρ 8500, c 320, h 210 (SI). Bi 0.001, τ = ρ·c·(V/A)/h = 2.159 s, 99 % of the step after 10 s.
// From a secondary text, and computed again here.
TEST(Junction, has_the_time_constant_of_the_textbook) {
    const double conductivity = 35;
    const double density = 8500;
    const double capacity = 320;
    const double film = 210;
    const double length = 0.001 / 6; // V/A of a sphere is D/6
    EXPECT_NEAR(film * length / conductivity, 0.001, 1e-9);
    const double time_constant = density * capacity * length / film;
    EXPECT_NEAR(time_constant, 2.159, 0.0005);
    const Truth junction{25, 200, time_constant};
    const double to_99_percent = junction.reaches(25 + 0.99 * 175);
    EXPECT_NEAR(to_99_percent, time_constant * std::log(100), 1e-9);
    EXPECT_NEAR(to_99_percent, 10, 0.06);

    const auto looks = exact_looks(junction, 30, 0.2);
    const auto fitted = fit(looks, fine);
    ASSERT_TRUE(fitted) << fitted.error().words;
    EXPECT_NEAR(fitted->time_constant, time_constant, 1e-6);
    EXPECT_NEAR(fitted->start_celsius, 25, 1e-5);
    EXPECT_NEAR(fitted->settles_celsius, 200, 1e-5);
    EXPECT_NEAR(fitted->spread, 0, 1e-6);

    const auto said = crossing(fitted->belief, 25 + 0.99 * 175, after(60)).value();
    const auto& within = std::get<Within>(said);
    EXPECT_NEAR(seconds(within.median), to_99_percent, 0.01);
    EXPECT_LE(within.early_edge, within.median);
    EXPECT_NEAR(within.probability, 1, 1e-6);
}

// (Time, temperature) scaled and shifted: the fit goes with them.
RC_GTEST_PROP(Fit, moves_with_time_and_temperature, ()) {
    const int slower = *rc::gen::inRange(1, 20);
    const int later = *rc::gen::inRange(-100'000, 100'000);
    const double warmer = *rc::gen::inRange(-20, 20);
    const double larger = *rc::gen::inRange(10, 30) / 10.0;
    std::mt19937_64 random(*rc::gen::inRange<std::uint64_t>(0, 1'000));

    const Truth truth{30, 60, 100};
    const auto looks = looks_at(truth, {.noise = 0.2, .step = 0.1}, 60, 0, 3, random);
    std::vector<Look> moved;
    for (const Look& look : looks) {
        const auto at = [&](units::Instant when) {
            return units::Instant(when.time_since_epoch() * slower + units::Duration(later));
        };
        moved.push_back({at(look.earliest), at(look.latest), look.celsius * larger + warmer});
    }
    const auto before = fit(looks, {.step = 0.1, .noise = 0.2});
    const auto now = fit(moved, {.step = 0.1 * larger, .noise = 0.2 * larger});
    RC_ASSERT(before.has_value());
    RC_ASSERT(now.has_value());
    const auto close = [](double one, double other) {
        return std::abs(one - other) <= 1e-5 * (1 + std::abs(other));
    };
    RC_ASSERT(close(now->time_constant, before->time_constant * slower));
    RC_ASSERT(close(now->time_constant_low, before->time_constant_low * slower));
    RC_ASSERT(close(now->time_constant_high, before->time_constant_high * slower));
    RC_ASSERT(close(now->start_celsius, before->start_celsius * larger + warmer));
    RC_ASSERT(close(now->settles_celsius, before->settles_celsius * larger + warmer));
    RC_ASSERT(close(now->spread, before->spread * larger));
}

TEST(Fit, tells_how_far_it_knows_the_time_constant) {
    std::mt19937_64 random(1);
    const Truth truth{30, 60, 200};
    int inside = 0;
    const int traces = 400;
    for (int n = 0; n < traces; ++n) {
        const auto looks =
            looks_at(truth, {.noise = 0.3, .step = 0.1, .renewed = 0}, 80, 0, 5, random);
        const auto fitted = fit(looks, {.step = 0.1, .noise = 0.3});
        ASSERT_TRUE(fitted);
        EXPECT_LT(fitted->time_constant_low, fitted->time_constant);
        EXPECT_GT(fitted->time_constant_high, fitted->time_constant);
        EXPECT_NEAR(fitted->spread, 0.3, 0.12);
        inside += fitted->time_constant_low <= 200 && 200 <= fitted->time_constant_high ? 1 : 0;
    }
    // 90 %, within three standard deviations; more, for spread never lowers the stated noise.
    EXPECT_GE(inside, 0.9 * traces - 3 * std::sqrt(0.09 * traces));
    EXPECT_LE(inside, 0.97 * traces);
}

TEST(Fit, takes_irregular_looks_and_two_at_one_time) {
    const Truth truth{30, 70, 50};
    std::vector<Look> looks;
    for (const double at : {0.0, 0.5, 0.5, 11.0, 12.0, 12.0, 60.0, 61.5, 130.0})
        looks.push_back(exact(at, truth.celsius(at)));
    const auto fitted = fit(looks, fine);
    ASSERT_TRUE(fitted) << fitted.error().words;
    EXPECT_NEAR(fitted->time_constant, 50, 1e-4);
    EXPECT_NEAR(fitted->settles_celsius, 70, 1e-4);
}

} // namespace
} // namespace slotwitness::forecast
