#include "simulation.hpp"

#include <gtest/gtest.h>
#include <spdlog/spdlog.h>

#include <cstdlib>
#include <iostream>
#include <map>
#include <set>
#include <string>

namespace slotwitness::simulation {
namespace {

/// Each seed has a schedule of its own; SLOTWITNESS_SEED plays one alone.
struct Seeds {
    std::uint64_t first = 1;
    std::uint64_t last = std::getenv("SLOTWITNESS_LONG") ? 200'000 : 10'000;
    Seeds() {
        if (const char* alone = std::getenv("SLOTWITNESS_SEED"))
            first = last = std::strtoull(alone, nullptr, 10);
    }
};

/// The first of each invariant.
std::string told(const std::vector<Invariants::Broken>& all) {
    std::string text;
    std::set<std::string> names;
    for (const auto& broken : all)
        if (names.insert(broken.name).second)
            text += "  " + broken.name + ": " + broken.text + "\n";
    return text;
}

std::string report(const Schedule& schedule, const Ran& ran) {
    const Schedule least = shrunk(schedule, ran.broken.front().name);
    return "Seed " + std::to_string(schedule.seed) + " breaks\n" + told(ran.broken) +
           "To play it again:\n  SLOTWITNESS_SEED=" + std::to_string(schedule.seed) +
           " build/release/tests/simulation/simulation_tests --gtest_filter=Simulation.holds*\n"
           "Its schedule: " +
           to_text(schedule) + "With as few acts as still break \"" + ran.broken.front().name +
           "\": " + to_text(least) + "then\n" + told(simulation::run(least).broken);
}

class Simulation : public testing::Test {
  protected:
    Simulation() { spdlog::set_level(spdlog::level::off); }
};

TEST_F(Simulation, holds_whatever_happens) {
    const Seeds seeds;
    std::map<std::string, std::size_t> met;
    std::set<std::string> names; // of invariants: one seed each is told
    for (std::uint64_t seed = seeds.first; seed <= seeds.last; ++seed) {
        const Schedule schedule = schedule_of(seed);
        const Ran ran = simulation::run(schedule);
        for (const auto& [what, times] : ran.met)
            met[what] += times;
        if (!ran.broken.empty() && names.insert(ran.broken.front().name).second)
            ADD_FAILURE() << report(schedule, ran);
    }
    std::string all;
    for (const auto& [what, times] : met)
        all += std::to_string(times) + "  " + what + "\n";
    std::cout << all;
    if (seeds.first == seeds.last)
        return;
    // What never comes about is not tested.
    for (const char* what : {"gate pass with a hold", "gate fail with a hold", "gate lost",
                             "round missed", "STATE MET", "STOP", "CALL", "closed done",
                             "closed backed_out", "act refused", "rule shown to be lost", "undo",
                             "loss carried over", "unconfirmed entry found", "time unknown"})
        EXPECT_GT(met[what], 5U) << what;
}

TEST_F(Simulation, a_seed_gives_the_same_journal_again) {
    std::set<std::string> digests;
    for (std::uint64_t seed = 1; seed <= 100; ++seed) {
        const Ran once = simulation::run(schedule_of(seed));
        EXPECT_EQ(once.digest, simulation::run(schedule_of(seed)).digest) << "seed " << seed;
        digests.insert(once.digest);
    }
    EXPECT_EQ(digests.size(), 100U);
}

} // namespace
} // namespace slotwitness::simulation
