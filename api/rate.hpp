#pragma once

#include <chrono>
#include <cstddef>
#include <map>
#include <optional>
#include <string>

namespace slotwitness::api {

/// Holds askers to a pace: so many requests at once, then one an interval. Pure; forgets who has
/// rested, and never knows more than `most` of them.
class Rate {
  public:
    using Time = std::chrono::steady_clock::time_point;

    Rate(std::size_t burst, std::chrono::milliseconds interval, std::size_t most)
        : burst_(burst), interval_(interval), most_(most) {}

    /// Takes one request of this asker; else how long until the next one is taken.
    [[nodiscard]] std::optional<std::chrono::seconds> take(const std::string& asker, Time now);
    [[nodiscard]] std::size_t known() const { return full_at_.size(); }

  private:
    void make_room(Time now);

    std::size_t burst_;
    std::chrono::milliseconds interval_;
    std::size_t most_;
    /// When each may send a whole burst again: all that a pace has to know.
    std::map<std::string, Time> full_at_;
};

} // namespace slotwitness::api
