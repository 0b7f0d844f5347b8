#pragma once

#include <slotwitness/units/time.hpp>
#include <slotwitness/witness/event.hpp>

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>

#include <cstdint>
#include <memory>
#include <optional>
#include <string>

namespace slotwitness::desk {

/// What the machine says of time at one moment.
struct MachineTime {
    std::string boot_id;          ///< /proc/sys/kernel/random/boot_id
    std::int64_t boottime_ms = 0; ///< CLOCK_BOOTTIME
    std::int64_t wall_ms = 0;     ///< CLOCK_REALTIME
    bool wall_synchronised = false;
};
[[nodiscard]] MachineTime read_machine_time();

/// How this run's time line follows from the last one's. Same boot: exactly. Another boot: by the
/// wall clock's difference, if it is synchronised in both and did not step back; otherwise the time
/// between is unknown, and said so. The time line never runs backwards past `last_instant`.
/// `profile` and `inventory` are the caller's to fill in. Pure.
[[nodiscard]] witness::RunStarted begin_run(const std::optional<witness::RunStarted>& previous,
                                            units::Instant last_instant,
                                            const MachineTime& machine);

/// A wait that can be cut short. One waiter at a time.
class Alarm {
  public:
    virtual ~Alarm() = default;
    /// Waits until `at`; returns early when rung. A ring before the wait is kept for it.
    virtual boost::asio::awaitable<void> wait_until(units::Instant at) = 0;
    virtual void ring() = 0;
};

/// The seam to time: the machine's clock, or a test's.
class Clock {
  public:
    virtual ~Clock() = default;
    /// Rounded up to a millisecond: nothing is stamped earlier than it happened.
    [[nodiscard]] virtual units::Instant now() const = 0;
    /// Rounded down: for what must not be stamped later than it happened (the asking of a query).
    [[nodiscard]] virtual units::Instant now_at_the_latest() const = 0;
    [[nodiscard]] virtual std::unique_ptr<Alarm>
    make_alarm(boost::asio::any_io_executor executor) const = 0;
};

/// CLOCK_BOOTTIME plus an offset that each run fixes once.
class MachineClock final : public Clock {
  public:
    explicit MachineClock(std::int64_t offset_ms) : offset_(offset_ms) {}
    [[nodiscard]] units::Instant now() const override;
    [[nodiscard]] units::Instant now_at_the_latest() const override;
    [[nodiscard]] std::unique_ptr<Alarm>
    make_alarm(boost::asio::any_io_executor executor) const override;

  private:
    units::Duration offset_;
};

} // namespace slotwitness::desk
