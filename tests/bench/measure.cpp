#include "measure.hpp"

#include <algorithm>
#include <ctime>

namespace slotwitness::bench {

double seconds_computed() {
    std::timespec now{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) + static_cast<double>(now.tv_nsec) * 1e-9;
}

Spread spread_of(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    const std::size_t middle = values.size() / 2;
    const double median =
        values.size() % 2 == 1 ? values[middle] : (values[middle - 1] + values[middle]) / 2;
    return {median, values.front(), values.back()};
}

std::vector<std::vector<double>> alternate(const std::vector<Subject>& subjects,
                                           std::size_t rounds) {
    std::vector<std::vector<double>> seconds(subjects.size());
    for (std::size_t round = 0; round <= rounds; ++round)
        for (std::size_t i = 0; i < subjects.size(); ++i) {
            const double taken = subjects[i].run();
            if (round > 0)
                seconds[i].push_back(taken);
        }
    return seconds;
}

} // namespace slotwitness::bench
