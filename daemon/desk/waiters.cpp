#include "waiters.hpp"

#include <algorithm>
#include <memory>

namespace slotwitness::desk {

boost::asio::awaitable<void>
Waiters::wait(boost::asio::any_io_executor executor, const Clock& clock, units::Instant until,
              std::function<bool()> is_over,
              std::function<std::optional<units::Instant>()> stale_at) {
    const auto alarm = clock.make_alarm(executor);
    const auto place = waiters_.insert(waiters_.end(), alarm.get());
    const auto leave = [this, place](const void*) { waiters_.erase(place); };
    const std::unique_ptr<const void, decltype(leave)> left(alarm.get(), leave);
    while (clock.now() < until && !is_over()) {
        const auto stale = stale_at();
        const units::Instant next = stale && *stale > clock.now() ? std::min(until, *stale) : until;
        co_await alarm->wait_until(next);
    }
}

} // namespace slotwitness::desk
