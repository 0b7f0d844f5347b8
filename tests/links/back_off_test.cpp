#include <slotwitness/links/link.hpp>

#include <gtest/gtest.h>
#include <rapidcheck.h>

namespace slotwitness::links::test {
namespace {

using namespace std::chrono_literals;

TEST(BackOffTest, the_step_doubles_up_to_the_longest) {
    const std::vector<units::Duration> whole{1s, 2s, 4s, 8s, 10s, 10s};
    for (unsigned attempt = 0; attempt < whole.size(); ++attempt) {
        EXPECT_EQ(back_off(attempt, 1s, 10s, 0.0), whole[attempt] / 2);
        EXPECT_LE(back_off(attempt, 1s, 10s, 0.999), whole[attempt]);
        EXPECT_GT(back_off(attempt, 1s, 10s, 0.999), whole[attempt] * 9 / 10);
    }
}

TEST(BackOffTest, any_wait_is_between_half_and_the_whole_of_a_step_that_never_shrinks) {
    EXPECT_TRUE(rc::check("bounds", [] {
        const units::Duration first(*rc::gen::inRange<std::int64_t>(1, 100'000));
        const units::Duration longest(*rc::gen::inRange<std::int64_t>(1, INT64_MAX / 2));
        const auto attempt = *rc::gen::inRange(0u, 200u);
        const auto uniform = *rc::gen::inRange(0, 1'000'000) / 1e6;
        const auto least = back_off(attempt, first, longest, 0.0);
        const auto wait = back_off(attempt, first, longest, uniform);
        RC_ASSERT(wait >= least);
        RC_ASSERT(wait <= longest);
        RC_ASSERT(wait <= least * 2 + 1ms);
        RC_ASSERT(back_off(attempt + 1, first, longest, 0.0) >= least);
        RC_ASSERT(least * 2 + 1ms >= std::min(first, longest));
    }));
}

TEST(BackOffTest, after_many_attempts_the_step_is_the_longest) {
    EXPECT_EQ(back_off(UINT32_MAX, 1ms, 60s, 0.0), 30s);
    EXPECT_EQ(back_off(64, 1ms, units::Duration::max(), 0.0), units::Duration::max() / 2);
}

TEST(BackOffTest, a_step_of_nothing_waits_for_nothing) {
    EXPECT_EQ(back_off(5, 0ms, 60s, 0.5), 0ms);
}

} // namespace
} // namespace slotwitness::links::test
