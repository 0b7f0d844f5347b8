#include <slotwitness/profiles/version.hpp>

#include <gtest/gtest.h>

namespace slotwitness::profiles {
namespace {

TEST(Versions, are_compared_run_by_run) {
    for (const auto& [less, more] : {std::pair{"4.9", "4.10"},
                                     {"4.9", "4.9.1"},
                                     {"20.1R3", "20.1R12"},
                                     {"20.1R3", "20.1S1"},
                                     {"4.2-rc1", "4.2-rc2"},
                                     {"", "0"},
                                     {"9", "10"},
                                     {"99999999999999999999", "100000000000000000000"}}) {
        EXPECT_TRUE(compare_versions(less, more) < 0) << less << " " << more;
        EXPECT_TRUE(compare_versions(more, less) > 0) << less << " " << more;
    }
    for (const auto& [one, other] :
         {std::pair{"4.09", "4.9"}, {"v4.2", "v4-2"}, {"", "--"}, {"1.", "1"}})
        EXPECT_TRUE(compare_versions(one, other) == 0) << one << " " << other;
}

} // namespace
} // namespace slotwitness::profiles
