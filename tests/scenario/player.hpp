#pragma once

#include "script.hpp"

#include <cstdint>
#include <string>

namespace slotwitness::scenario {

/// Plays engineer and technician against a daemon and a simulated chassis, both on this machine.
class Player {
  public:
    Player(std::uint16_t daemon, std::string control_socket)
        : daemon_(daemon), control_(std::move(control_socket)) {}

    /// Prints each verdict as it falls, with its reason. The number of steps that did not end as
    /// written; the error is what kept the play from going on.
    [[nodiscard]] tl::expected<std::size_t, std::string> play(const Script& script);

  private:
    struct Ended {
        std::string outcome; ///< "pass", "seen_false", "not_seen", "cancelled"
        std::string because;
        std::string line;     ///< the first line of the device that it rests on
        std::size_t more = 0; ///< such lines beside it
        std::string decided;  ///< RFC 3339
    };
    [[nodiscard]] tl::expected<void, std::string> wait_until_seen(const Script& script);
    [[nodiscard]] tl::expected<Ended, std::string> play_step(const Script& script,
                                                             const Step& step);
    [[nodiscard]] tl::expected<Ended, std::string> wait_for_verdict(const std::string& gate);
    [[nodiscard]] tl::expected<void, std::string> retire_before(const Script& script,
                                                                std::size_t next);

    std::uint16_t daemon_;
    std::string control_;
    std::vector<std::string> gates_; ///< of the steps played, in order; empty once retired
};

} // namespace slotwitness::scenario
