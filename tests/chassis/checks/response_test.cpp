#include <slotwitness/chassis/response.hpp>

#include <gtest/gtest.h>

#include <cmath>

namespace slotwitness::chassis {
namespace {

// A thermocouple junction as lumped capacitance: sphere of 1 mm, ρ = 8500 kg/m³, c = 320 J/(kg·K),
// h = 210 W/(m²·K), so τ = ρ·c·(d/6)/h = 2.159 s, and 99 % of the way takes 10 s (Çengel, Heat and
// Mass Transfer, chapter 4, first example; the book's name from memory).
TEST(Response, reads_99_percent_when_the_handbook_junction_does) {
    constexpr double tau_s = 8500.0 * 320.0 * (0.001 / 6) / 210.0;
    EXPECT_NEAR(tau_s, 2.159, 0.001);
    Response junction(0, Time(2'159));
    junction.aim(100, Time(0));
    EXPECT_NEAR(junction.value(Time(10'000)), 99, 0.1);
    EXPECT_NEAR(static_cast<double>(junction.settled_at(1).count()), 10'000, 100);
}

TEST(Response, does_63_percent_of_the_way_in_one_time_constant) {
    Response response(20, Time(1'000));
    response.aim(120, Time(500));
    EXPECT_DOUBLE_EQ(response.value(Time(500)), 20);
    EXPECT_NEAR(response.value(Time(1'500)), 20 + 100 * (1 - std::exp(-1.0)), 1e-9);
}

TEST(Response, aimed_again_it_goes_on_from_where_it_is) {
    Response response(0, Time(1'000));
    response.aim(10, Time(0));
    const double there = response.value(Time(700));
    response.aim(-10, Time(700));
    EXPECT_DOUBLE_EQ(response.value(Time(700)), there);
    EXPECT_LT(response.value(Time(5'000)), -9);
}

TEST(Response, an_unchanged_aim_changes_nothing) {
    Response once(0, Time(1'000));
    once.aim(10, Time(0));
    Response twice = once;
    twice.aim(10, Time(333));
    EXPECT_EQ(once.value(Time(2'000)), twice.value(Time(2'000)));
}

TEST(Response, is_settled_when_it_says) {
    Response response(0, Time(1'000));
    EXPECT_EQ(response.settled_at(0.1), Time(0));
    response.aim(10, Time(100));
    const Time settled = response.settled_at(0.1);
    EXPECT_LE(10 - response.value(settled), 0.1);
    EXPECT_GT(10 - response.value(settled - Time(2)), 0.1);
}

} // namespace
} // namespace slotwitness::chassis
