#include "procedure_compare.hpp"

#include <gtest/gtest.h>

#include <cstdlib>
#include <iostream>
#include <map>
#include <sstream>

// The witness against the brute-force oracle on random procedures. Which paths a course takes is
// counted from the oracle alone, so that a generator that no longer reaches them fails here.
namespace slotwitness::oracle {
namespace {

std::uint64_t how_many_courses() {
    if (const char* set = std::getenv("SLOTWITNESS_TRACES"))
        return std::strtoull(set, nullptr, 10);
    if (const char* set = std::getenv("SLOTWITNESS_LONG"); set && std::string(set) == "1")
        return 1'000'000;
#ifdef __SANITIZE_ADDRESS__
    return 1'000; // instrumented, it is the memory that is looked at
#else
    return 100'000;
#endif
}

TEST(RandomProcedures, the_witness_says_what_the_oracle_says_after_every_event) {
    const std::uint64_t courses = how_many_courses();
    std::map<std::string, std::uint64_t> counts;
    int differing = 0;
    for (std::uint64_t seed = 1; seed <= courses && differing < 3; ++seed) {
        const Course course = random_course(seed);
        ASSERT_TRUE(well_formed(course)) << "seed " << seed;
        const Ticks ticks = seed % 2 == 0 ? Ticks::asked_for : Ticks::left_out;
        std::vector<Told> told;
        const auto different = difference(course, ticks, &told);
        if (!different)
            continue;
        const Course small = minimised(course, ticks);
        ADD_FAILURE() << "seed " << seed << (ticks == Ticks::asked_for ? "" : ", without ticks")
                      << "\n"
                      << to_text(small) << *difference(small, ticks);
        ++differing;
    }
}

} // namespace
} // namespace slotwitness::oracle
