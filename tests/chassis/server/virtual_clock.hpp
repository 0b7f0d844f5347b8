#pragma once

#include <slotwitness/chassis/words.hpp>

#include <chrono>

namespace slotwitness::chassis {

/// Virtual time since it was made; it runs `speed` times as fast as the steady clock.
class VirtualClock {
  public:
    explicit VirtualClock(int speed) : speed_(speed) {}

    [[nodiscard]] Time now() const {
        return std::chrono::duration_cast<Time>((std::chrono::steady_clock::now() - start_) *
                                                speed_);
    }

  private:
    int speed_;
    std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
};

} // namespace slotwitness::chassis
