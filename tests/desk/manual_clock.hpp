#pragma once

#include <slotwitness/desk/clock.hpp>

#include <list>
#include <memory>
#include <optional>

namespace slotwitness::twins {

/// A clock that a test moves by hand. Alarms made by it ring when it is moved past their instant.
class ManualClock final : public desk::Clock {
  public:
    explicit ManualClock(std::int64_t start_ms);

    [[nodiscard]] units::Instant now() const override;
    [[nodiscard]] units::Instant now_at_the_latest() const override;
    [[nodiscard]] std::unique_ptr<desk::Alarm>
    make_alarm(boost::asio::any_io_executor executor) const override;

    void advance(units::Duration by);
    /// The earliest instant that an alarm waits for; nothing if none waits.
    [[nodiscard]] std::optional<units::Instant> next_alarm() const;

    struct Waiting; ///< the alarms that wait now
    /// A second clock that shows and moves the same time: the desk owns one, the test keeps the
    /// other.
    [[nodiscard]] std::unique_ptr<ManualClock> twin() const;

  private:
    explicit ManualClock(std::shared_ptr<Waiting> time) : time_(std::move(time)) {}
    std::shared_ptr<Waiting> time_;
};

} // namespace slotwitness::twins
