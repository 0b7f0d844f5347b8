#include "rate.hpp"

#include <algorithm>

namespace slotwitness::api {

std::optional<std::chrono::seconds> Rate::take(const std::string& asker, Time now) {
    auto place = full_at_.find(asker);
    if (place == full_at_.end()) {
        make_room(now);
        place = full_at_.emplace(asker, now).first;
    }
    const Time begins = std::max(place->second, now);
    const Time free_at = begins + interval_ - interval_ * burst_;
    if (free_at > now)
        return std::chrono::ceil<std::chrono::seconds>(free_at - now);
    place->second = begins + interval_;
    return std::nullopt;
}

void Rate::make_room(Time now) {
    if (full_at_.size() < most_)
        return;
    std::erase_if(full_at_, [&](const auto& one) { return one.second <= now; });
    if (full_at_.size() < most_)
        return;
    // All are busy: who has the least to wait for loses the least by being forgotten.
    full_at_.erase(
        std::ranges::min_element(full_at_, {}, [](const auto& one) { return one.second; }));
}

} // namespace slotwitness::api
