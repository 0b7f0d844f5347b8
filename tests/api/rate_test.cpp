#include <slotwitness/api/rate.hpp>

#include <gtest/gtest.h>

namespace slotwitness::api {
namespace {

using namespace std::chrono_literals;

constexpr Rate::Time start{};

TEST(rate, allows_a_burst_and_then_one_an_interval) {
    Rate rate{3, 1s, 10};
    for (int i = 0; i < 3; ++i)
        EXPECT_FALSE(rate.take("a", start)) << i;
    EXPECT_EQ(rate.take("a", start), 1s);
    EXPECT_EQ(rate.take("a", start + 999ms), 1s);
    EXPECT_FALSE(rate.take("a", start + 1s));
    EXPECT_EQ(rate.take("a", start + 1s), 1s);
    EXPECT_FALSE(rate.take("b", start + 1s));
}

TEST(rate, gives_the_burst_back_to_who_has_rested) {
    Rate rate{3, 1s, 10};
    for (int i = 0; i < 3; ++i)
        EXPECT_FALSE(rate.take("a", start));
    for (int i = 0; i < 3; ++i)
        EXPECT_FALSE(rate.take("a", start + 3s)) << i;
    EXPECT_TRUE(rate.take("a", start + 3s));
}

TEST(rate, is_not_lengthened_by_who_asks_too_often) {
    Rate rate{1, 1s, 10};
    EXPECT_FALSE(rate.take("a", start));
    for (int i = 0; i < 1000; ++i)
        EXPECT_TRUE(rate.take("a", start + 500ms));
    EXPECT_FALSE(rate.take("a", start + 1s));
}

TEST(rate, never_remembers_more_askers_than_it_may) {
    Rate rate{2, 1s, 100};
    for (int i = 0; i < 10'000; ++i)
        static_cast<void>(rate.take(std::to_string(i), start + i * 1ms));
    EXPECT_LE(rate.known(), 100);
}

TEST(rate, forgets_first_who_has_rested) {
    Rate rate{1, 1s, 2};
    EXPECT_FALSE(rate.take("rested", start));
    EXPECT_FALSE(rate.take("busy", start + 900ms));
    EXPECT_FALSE(rate.take("new", start + 1s));
    EXPECT_TRUE(rate.take("busy", start + 1s));
}

} // namespace
} // namespace slotwitness::api
