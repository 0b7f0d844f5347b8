#include "traces.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace slotwitness::forecast {
namespace {

const double nan = std::numeric_limits<double>::quiet_NaN();
const double infinite = std::numeric_limits<double>::infinity();

/// One look each 5 s.
std::vector<Look> drawn(int count, double (*celsius)(double seconds)) {
    std::vector<Look> looks;
    looks.reserve(static_cast<std::size_t>(count));
    for (int n = 0; n < count; ++n)
        looks.push_back(exact(5 * n, std::round(celsius(5 * n))));
    return looks;
}

NotIdentified refused(const std::vector<Look>& looks, const Sensor& sensor = {}) {
    const auto fitted = fit(looks, sensor);
    if (fitted) {
        ADD_FAILURE() << "a fit with a time constant of " << fitted->time_constant << " s";
        return {};
    }
    EXPECT_FALSE(fitted.error().words.empty());
    EXPECT_EQ(fitted.error().earliest.has_value(), fitted.error().why == Why::straight);
    return fitted.error();
}

TEST(NotIdentified, fewer_than_three_looks) {
    for (int count = 0; count < 3; ++count)
        EXPECT_EQ(refused(exact_looks(warming, count, 100)).why, Why::too_few_looks) << count;
    EXPECT_TRUE(fit(exact_looks(warming, 3, 100), {}));
}

TEST(NotIdentified, three_looks_at_two_times) {
    auto looks = exact_looks(warming, 2, 100);
    looks.push_back(looks.back());
    EXPECT_EQ(refused(looks).why, Why::too_few_looks);
}

TEST(NotIdentified, constant_temperature) {
    EXPECT_EQ(refused(drawn(100, [](double) { return 40.0; })).why, Why::too_little_change);
}

TEST(NotIdentified, noise_about_a_constant_temperature) {
    std::mt19937_64 random(7);
    for (int n = 0; n < 300; ++n) {
        const auto looks = looks_at({40, 40.001, 100}, {}, 3 + n % 40, 0, 4, random);
        EXPECT_EQ(refused(looks).why, Why::too_little_change) << n;
    }
}

TEST(NotIdentified, a_change_of_a_few_printed_steps) {
    EXPECT_EQ(refused(drawn(30, [](double at) { return 42 - 2 * std::exp(-at / 40); })).why,
              Why::too_little_change);
}

TEST(NotIdentified, falling_temperature) {
    EXPECT_EQ(refused(drawn(60, [](double at) { return 80 - at / 10; })).why, Why::falls);
    EXPECT_EQ(refused(drawn(60, [](double at) { return 40 + 40 * std::exp(-at / 60); })).why,
              Why::falls);
}

TEST(NotIdentified, a_straight_ramp_whose_line_gives_an_early_edge) {
    const auto error = refused(drawn(60, [](double at) { return 30 + at / 10; }));
    EXPECT_EQ(error.why, Why::straight);
    ASSERT_TRUE(error.earliest);
    // 80 C is reached at 500 s.
    const auto said = crossing(*error.earliest, 80, after(3'600)).value();
    const double edge = seconds(std::get<Within>(said).early_edge);
    EXPECT_LT(edge, 500);
    EXPECT_GT(edge, 480);
}

// What forecast.hpp shows for NotIdentified::earliest, without noise.
TEST(StraightLine, is_never_later_than_a_course_that_bends) {
    int lines = 0;
    for (const double time_constant : {500.0, 1'000.0, 3'000.0, 10'000.0})
        for (int count = 3; count <= 40; ++count) {
            const Truth course{30, 30 + time_constant / 5, time_constant};
            const auto fitted = fit(exact_looks(course, count, 5), {});
            if (fitted || !fitted.error().earliest)
                continue;
            ++lines;
            const double now = course.celsius((count - 1) * 5);
            for (const double limit : {now + 0.5, now + 5, now + 40})
                if (limit < course.settles && limit < 250) {
                    const auto said = crossing(*fitted.error().earliest, limit, after(1e6)).value();
                    EXPECT_LE(seconds(std::get<Within>(said).median), course.reaches(limit));
                }
        }
    EXPECT_GT(lines, 50);
}

TEST(NotIdentified, a_temperature_that_rises_faster_and_faster) {
    EXPECT_EQ(refused(drawn(40, [](double at) { return 30 + at * at / 1'000; })).why,
              Why::accelerates);
}

TEST(NotIdentified, one_look_that_stands_alone) {
    EXPECT_EQ(refused(drawn(40, [](double at) { return at < 1 ? 30.0 : 50.0; })).why,
              Why::settled_at_once);
}

TEST(NotIdentified, overshoot) {
    EXPECT_EQ(refused(drawn(60,
                            [](double at) {
                                return 50 + 20 * std::exp(-at / 80) * std::sin(at / 30) -
                                       20 * std::exp(-at / 40);
                            }))
                  .why,
              Why::does_not_follow);
}

TEST(NotIdentified, a_step_of_the_fans_that_nobody_told) {
    EXPECT_EQ(refused(drawn(80,
                            [](double at) {
                                const Truth first{30, 50, 60};
                                const Truth second{first.celsius(200), 75, 60};
                                return at < 200 ? first.celsius(at) : second.celsius(at - 200);
                            }))
                  .why,
              Why::does_not_follow);
}

TEST(NotIdentified, numbers_that_no_board_has) {
    for (const double celsius : {nan, infinite, -infinite, 251.0, -61.0, 65'535.0}) {
        auto looks = exact_looks(warming, 50, 5);
        ASSERT_TRUE(fit(looks, {}));
        looks[25].celsius = celsius;
        EXPECT_EQ(refused(looks).why, Why::absurd) << celsius;
    }
}

TEST(NotIdentified, times_that_cannot_be) {
    auto looks = exact_looks(warming, 50, 5);
    std::swap(looks[20], looks[21]);
    EXPECT_EQ(refused(looks).why, Why::absurd);
    looks = exact_looks(warming, 50, 5);
    looks[20].earliest = looks[20].latest + units::Duration(1);
    EXPECT_EQ(refused(looks).why, Why::absurd);
    looks = exact_looks(warming, 50, 5);
    looks.back().latest = units::Instant::max();
    EXPECT_EQ(refused(looks).why, Why::absurd);
    looks = exact_looks(warming, 50, 5);
    looks.front().earliest = units::Instant::min();
    EXPECT_EQ(refused(looks).why, Why::absurd);
}

TEST(NotIdentified, a_sensor_that_cannot_be) {
    const auto looks = exact_looks(warming, 50, 5);
    for (const double wrong : {0.0, 1e-200, -1.0, nan, infinite}) {
        EXPECT_EQ(refused(looks, {.step = wrong, .noise = 0.3}).why, Why::absurd) << wrong;
        EXPECT_EQ(refused(looks, {.step = 1, .noise = wrong}).why, Why::absurd) << wrong;
    }
}

} // namespace
} // namespace slotwitness::forecast
