#include "budget.hpp"

#include <algorithm>

namespace slotwitness::watch {

namespace {

using units::Instant;

constexpr units::Duration minute = std::chrono::minutes(1);
/// A query of minute m may have gone out as it ended: it counts until minute m + 61 begins.
constexpr std::int64_t minutes_that_count = budget_window / minute + 1;

std::int64_t minute_of(Instant at) {
    return std::chrono::floor<std::chrono::minutes>(at.time_since_epoch()).count();
}

Instant end_of(std::int64_t number) {
    return Instant((number + minutes_that_count) * minute);
}

} // namespace

void Spending::spend(Instant at) {
    if (!most_)
        return;
    std::int64_t number = minute_of(at);
    if (!minutes_.empty())
        number = std::max(number, minutes_.back().number);
    std::erase_if(minutes_, [number](const Minute& each) {
        return each.number + minutes_that_count <= number;
    });
    if (minutes_.empty() || minutes_.back().number != number)
        minutes_.push_back({number, 0});
    ++minutes_.back().queries;
}

std::size_t Spending::spent(Instant now) const {
    std::size_t queries = 0;
    for (const Minute& each : minutes_)
        if (now < end_of(each.number))
            queries += each.queries;
    return queries;
}

std::optional<Instant> Spending::room_for(std::size_t queries, std::size_t most,
                                          Instant now) const {
    if (queries > most)
        return std::nullopt;
    std::size_t counting = spent(now);
    Instant at = now;
    for (const Minute& each : minutes_) {
        if (counting + queries <= most)
            break;
        if (end_of(each.number) <= now)
            continue;
        at = end_of(each.number);
        counting -= each.queries;
    }
    return at;
}

} // namespace slotwitness::watch
