#pragma once

#include "../chassis/device.hpp"

#include <slotwitness/desk/clock.hpp>
#include <slotwitness/links/link.hpp>

#include <boost/asio/any_io_executor.hpp>

#include <memory>

namespace slotwitness::days {

/// A session to the simulated chassis without a network: each answer comes 20 ms of the clock's
/// time after its query.
[[nodiscard]] std::unique_ptr<links::Link> make_device_link(boost::asio::any_io_executor executor,
                                                            const desk::Clock& clock,
                                                            chassis::Device& device);

} // namespace slotwitness::days
