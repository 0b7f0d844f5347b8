#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

namespace slotwitness::bench {

struct Spread {
    double median = 0;
    double least = 0;
    double most = 0;
};
/// Of one value or more.
[[nodiscard]] Spread spread_of(std::vector<double> values);

/// Seconds that this thread computed so far, so that a machine that is shared measures the same.
[[nodiscard]] double seconds_computed();

/// Seconds that `job` computes. What it returns is destroyed after the clock has stopped.
template <class Job>
[[nodiscard]] double seconds_of(Job&& job) {
    const double begin = seconds_computed();
    const auto result = job();
    const double end = seconds_computed();
    // Nothing of the job may be left out as unused.
    asm volatile("" : : "g"(&result) : "memory");
    return end - begin;
}

struct Subject {
    std::string name;
    std::function<double()> run; ///< does the job once; the seconds it took
};
/// Seconds of each subject and round. The subjects alternate, so that whatever else the machine
/// does meets all of them; a first round warms up and is not counted.
[[nodiscard]] std::vector<std::vector<double>> alternate(const std::vector<Subject>& subjects,
                                                         std::size_t rounds);

/// Allocations of this thread so far.
[[nodiscard]] std::uint64_t allocations();

} // namespace slotwitness::bench
