#include "clock.hpp"

#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>

#include <algorithm>
#include <ctime>
#include <fstream>
#include <sys/timex.h>

namespace slotwitness::desk {

namespace {

using units::Duration;
using units::Instant;

std::chrono::nanoseconds read(clockid_t clock) {
    timespec now{};
    ::clock_gettime(clock, &now);
    return std::chrono::seconds(now.tv_sec) + std::chrono::nanoseconds(now.tv_nsec);
}

std::int64_t in_ms(std::chrono::nanoseconds time) {
    return std::chrono::floor<Duration>(time).count();
}

class MachineAlarm final : public Alarm {
  public:
    MachineAlarm(boost::asio::any_io_executor executor, const MachineClock& clock)
        : timer_(executor), clock_(clock) {}

    boost::asio::awaitable<void> wait_until(Instant at) override {
        while (!rung_ && clock_.now_at_the_latest() < at) {
            // A steady timer stops while the machine sleeps and CLOCK_BOOTTIME does not: look again
            // at least every half minute.
            const Duration left = at - clock_.now_at_the_latest();
            timer_.expires_after(std::min<Duration>(left, std::chrono::seconds(30)));
            boost::system::error_code error;
            co_await timer_.async_wait(
                boost::asio::redirect_error(boost::asio::use_awaitable, error));
        }
        rung_ = false;
    }

    void ring() override {
        rung_ = true;
        timer_.cancel();
    }

  private:
    boost::asio::steady_timer timer_;
    MachineClock clock_; // a copy: the alarm may outlive its maker's reference
    bool rung_ = false;
};

} // namespace

MachineTime read_machine_time() {
    MachineTime time;
    std::ifstream("/proc/sys/kernel/random/boot_id") >> time.boot_id;
    time.boottime_ms = in_ms(read(CLOCK_BOOTTIME));
    time.wall_ms = in_ms(read(CLOCK_REALTIME));
    timex state{};
    const int status = ::adjtimex(&state);
    time.wall_synchronised =
        status != -1 && status != TIME_ERROR && (state.status & STA_UNSYNC) == 0;
    return time;
}

witness::RunStarted begin_run(const std::optional<witness::RunStarted>& previous,
                              Instant last_instant, const MachineTime& machine) {
    witness::RunStarted run;
    run.boot_id = machine.boot_id;
    run.boottime_ms = machine.boottime_ms;
    run.wall_ms = machine.wall_ms;
    run.wall_synchronised = machine.wall_synchronised;
    if (!previous) {
        run.offset_ms = machine.wall_ms - machine.boottime_ms;
        return run;
    }
    const std::int64_t last = last_instant.time_since_epoch().count();
    const bool same_boot = !machine.boot_id.empty() && machine.boot_id == previous->boot_id;
    std::int64_t now = 0;
    if (same_boot) {
        now = machine.boottime_ms + previous->offset_ms;
        run.elapsed_known = now >= last;
    } else {
        const std::int64_t between = machine.wall_ms - previous->wall_ms;
        now = previous->boottime_ms + previous->offset_ms + between;
        run.elapsed_known =
            machine.wall_synchronised && previous->wall_synchronised && between >= 0 && now >= last;
    }
    run.offset_ms = std::max(now, last) - machine.boottime_ms;
    return run;
}

Instant MachineClock::now() const {
    return Instant(std::chrono::ceil<Duration>(read(CLOCK_BOOTTIME)) + offset_);
}

Instant MachineClock::now_at_the_latest() const {
    return Instant(std::chrono::floor<Duration>(read(CLOCK_BOOTTIME)) + offset_);
}

std::unique_ptr<Alarm> MachineClock::make_alarm(boost::asio::any_io_executor executor) const {
    return std::make_unique<MachineAlarm>(std::move(executor), *this);
}

} // namespace slotwitness::desk
