#include "traces.hpp"

#include <cmath>

namespace slotwitness::forecast {

double Truth::celsius(double seconds) const {
    return settles - (settles - start) * std::exp(-seconds / time_constant);
}

double Truth::reaches(double limit) const {
    return time_constant * std::log((settles - start) / (settles - limit));
}

units::Instant after(double seconds) {
    return units::Instant(units::Duration(std::llround(seconds * 1000)));
}

double seconds(units::Instant at) {
    return std::chrono::duration<double>(at.time_since_epoch()).count();
}

Look exact(double seconds, double celsius) {
    return {after(seconds), after(seconds), celsius};
}

std::vector<Look> exact_looks(const Truth& truth, int count, double apart) {
    std::vector<Look> looks;
    looks.reserve(static_cast<std::size_t>(count));
    for (int n = 0; n < count; ++n)
        looks.push_back(exact(n * apart, truth.celsius(n * apart)));
    return looks;
}

double between(double low, double high, std::mt19937_64& random) {
    return std::uniform_real_distribution<double>(low, high)(random);
}

std::vector<Look> looks_at(const Truth& truth, const Looking& looking, int count, double from,
                           double apart, std::mt19937_64& random) {
    std::vector<Look> looks;
    looks.reserve(static_cast<std::size_t>(count));
    const double round_trip = 0.3;
    double shown_before = -1;
    double measured = 0;
    for (int n = 0; n < count; ++n) {
        const double earliest = n * apart * between(1 - 0.2 / (n + 1), 1, random);
        const double latest = earliest + looking.renewed + round_trip;
        const double shown = looking.always_old ? earliest
                             : looking.tables
                                 ? std::floor(latest / looking.renewed) * looking.renewed
                                 : between(earliest, latest, random);
        if (shown != shown_before)
            measured =
                truth.celsius(shown) + std::normal_distribution<double>(0, looking.noise)(random);
        shown_before = shown;
        looks.push_back({after(from + earliest), after(from + latest),
                         std::round(measured / looking.step) * looking.step});
    }
    return looks;
}

} // namespace slotwitness::forecast
