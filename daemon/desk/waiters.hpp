#pragma once

#include "clock.hpp"

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>

#include <functional>
#include <list>
#include <optional>

namespace slotwitness::desk {

/// Those who wait for a change of something that is shown. It must not move while anybody waits.
class Waiters {
  public:
    void wake() {
        for (Alarm* waiter : waiters_)
            waiter->ring();
    }

    /// Returns when `is_over` says so: asked now, at each wake, and just after the instant that
    /// `stale_at` names, if it names one, since confidence runs out without anybody publishing it.
    /// At `until` at the latest.
    [[nodiscard]] boost::asio::awaitable<void>
    wait(boost::asio::any_io_executor executor, const Clock& clock, units::Instant until,
         std::function<bool()> is_over, std::function<std::optional<units::Instant>()> stale_at);

  private:
    std::list<Alarm*> waiters_;
};

} // namespace slotwitness::desk
