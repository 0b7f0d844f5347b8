#pragma once

#include "../chassis/device.hpp"

#include <slotwitness/desk/clock.hpp>
#include <slotwitness/links/link.hpp>

#include <boost/asio/any_io_executor.hpp>

#include <memory>
#include <optional>
#include <string_view>

namespace slotwitness::days {

/// What is at the far end of a session, a network without sockets included.
class FarEnd {
  public:
    FarEnd() = default;
    virtual ~FarEnd() = default;
    FarEnd(const FarEnd&) = delete;
    FarEnd& operator=(const FarEnd&) = delete;

    /// Why it lets no session in now; nothing if it does.
    [[nodiscard]] virtual std::optional<links::LinkError> refusal() = 0;
    /// A command has come to it at that time of the clock.
    [[nodiscard]] virtual chassis::Delivery ask(std::string_view command, units::Instant now) = 0;
    /// The way of the next command, or of the next attempt to connect.
    [[nodiscard]] virtual units::Duration latency() { return units::Duration(20); }
    /// The answer to the command that was asked then has come back from it, whole or not; false: it
    /// never came.
    virtual void answered(std::string_view, units::Instant /*asked*/, bool) {}
};

/// The simulated chassis.
class DeviceEnd final : public FarEnd {
  public:
    explicit DeviceEnd(chassis::Device& device) : device_(device) {}
    [[nodiscard]] std::optional<links::LinkError> refusal() override;
    [[nodiscard]] chassis::Delivery ask(std::string_view command, units::Instant now) override {
        return device_.ask(command, now.time_since_epoch());
    }

  private:
    chassis::Device& device_;
};

/// A session without a network, in the clock's time. An answer that takes longer than `timeout`
/// ends the session.
[[nodiscard]] std::unique_ptr<links::Link> make_device_link(boost::asio::any_io_executor executor,
                                                            const desk::Clock& clock, FarEnd& end,
                                                            units::Duration timeout);

} // namespace slotwitness::days
