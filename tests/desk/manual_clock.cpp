#include "manual_clock.hpp"

#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>

#include <utility>

namespace slotwitness::twins {

struct ManualClock::Waiting {
    units::Instant now;
    std::list<std::pair<units::Instant, boost::asio::steady_timer*>> timers;
};

namespace {

class ManualAlarm final : public desk::Alarm {
  public:
    ManualAlarm(boost::asio::any_io_executor executor, std::shared_ptr<ManualClock::Waiting> time)
        : timer_(executor, boost::asio::steady_timer::time_point::max()), time_(std::move(time)) {}

    boost::asio::awaitable<void> wait_until(units::Instant at) override {
        if (!rung_ && time_->now < at) {
            const auto place = time_->timers.insert(time_->timers.end(), {at, &timer_});
            boost::system::error_code error;
            co_await timer_.async_wait(
                boost::asio::redirect_error(boost::asio::use_awaitable, error));
            time_->timers.erase(place);
        }
        rung_ = false;
    }
    void ring() override {
        rung_ = true;
        timer_.cancel();
    }

  private:
    boost::asio::steady_timer timer_;
    std::shared_ptr<ManualClock::Waiting> time_;
    bool rung_ = false;
};

} // namespace

ManualClock::ManualClock(std::int64_t start_ms) : time_(std::make_shared<Waiting>()) {
    time_->now = units::Instant(units::Duration(start_ms));
}

units::Instant ManualClock::now() const {
    return time_->now;
}
units::Instant ManualClock::now_at_the_latest() const {
    return time_->now;
}

std::unique_ptr<desk::Alarm> ManualClock::make_alarm(boost::asio::any_io_executor executor) const {
    return std::make_unique<ManualAlarm>(std::move(executor), time_);
}

void ManualClock::advance(units::Duration by) {
    time_->now += by;
    for (const auto& [at, timer] : time_->timers)
        if (at <= time_->now)
            timer->cancel();
}

std::optional<units::Instant> ManualClock::next_alarm() const {
    std::optional<units::Instant> earliest;
    for (const auto& [at, timer] : time_->timers)
        if (!earliest || at < *earliest)
            earliest = at;
    return earliest;
}

std::unique_ptr<ManualClock> ManualClock::twin() const {
    return std::unique_ptr<ManualClock>(new ManualClock(time_));
}

} // namespace slotwitness::twins
