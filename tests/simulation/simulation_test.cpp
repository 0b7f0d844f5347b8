#include "simulation.hpp"

#include <gtest/gtest.h>
#include <spdlog/spdlog.h>

#include <cstdlib>
#include <iostream>
#include <set>

namespace slotwitness::simulation {
namespace {

/// Each is its own schedule; SLOTWITNESS_SEED plays one alone.
std::uint64_t how_many() {
    if (const char* n = std::getenv("N")) return std::strtoull(n, nullptr, 10);
    return 10000;
}

std::string report(const Schedule& schedule, const Ran& ran) {
    const Schedule least = shrunk(schedule, ran.broken.front().name);
    std::string text = "seed " + std::to_string(schedule.seed) +
                       " breaks invariants. To play it again:\n  SLOTWITNESS_SEED=" +
                       std::to_string(schedule.seed) +
                       " build/release/tests/simulation/simulation_tests "
                       "--gtest_filter=Simulation.holds_whatever_happens\n";
    for (const auto& broken : ran.broken)
        text += "  " + broken.name + ": " + broken.text + "\n";
    text += "Its schedule:\n" + to_text(schedule) + "What is left of it when it is shrunk:\n" +
            to_text(least);
    for (const auto& broken : simulation::run(least).broken)
        text += "  " + broken.name + ": " + broken.text + "\n";
    return text;
}

class Simulation : public testing::Test {
  protected:
    Simulation() { spdlog::set_level(spdlog::level::off); }
};

TEST_F(Simulation, holds_whatever_happens) {
    const char* seed = std::getenv("SLOTWITNESS_SEED");
    const std::uint64_t first = seed ? std::strtoull(seed, nullptr, 10) : 1;
    const std::uint64_t last = seed ? first : how_many();
    std::size_t entries = 0;
    std::map<std::string, std::size_t> met;
    std::set<std::string> names;
    for (std::uint64_t each = first; each <= last && names.size() < 3; ++each) {
        const Schedule schedule = schedule_of(each);
        const Ran ran = simulation::run(schedule);
        entries += ran.entries;
        for (const auto& [what, times] : ran.met)
            met[what] += times;
        if (!ran.broken.empty() && names.insert(ran.broken.front().name).second)
            ADD_FAILURE() << report(schedule, ran);
    }
    std::cout << entries << " journal entries\n";
    for (const auto& [what, times] : met)
        std::cout << times << "  " << what << "\n";
}

} // namespace
} // namespace slotwitness::simulation
