#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace slotwitness::watch {

/// How many sessions may be under way to being set up at once: who is let in connects, exchanges
/// keys, logs in.
struct Doors {
    /// A handshake costs a millisecond of computing or more on each side; and one to an address
    /// that is silent holds its place until it times out.
    std::size_t at_once = 32;
    /// Below the 10 from which on OpenSSH's server turns some away (sshd_config(5), MaxStartups).
    std::size_t through_a_bastion = 8;
};

/// Who comes first, in this order.
enum class Urgency {
    work,    ///< a gate or a procedure waits for looks
    idle,    ///< nobody waits
    failing, ///< nobody waits, and the last attempt failed
};

/// Lets sessions in to be set up, after a start or after all were lost. Of those that may come in
/// the most urgent do, the longest waiting first; each fourth place goes to the longest waiting of
/// all, so that nobody waits for ever. Pure.
class Admission {
  public:
    using Ticket = std::uint64_t;

    explicit Admission(Doors doors) : doors_(doors) {}

    /// Queues for a place. `bastions` are the ones on the way, each once.
    [[nodiscard]] Ticket queue(std::vector<std::string> bastions, Urgency urgency);
    /// Of one that waits: somebody waits for it now, or no longer.
    void is_now(Ticket ticket, Urgency urgency);
    /// Those that are let in now, in this order.
    [[nodiscard]] std::vector<Ticket> admit();
    /// Gives the place back, inside or while waiting.
    void leave(Ticket ticket);

    [[nodiscard]] std::size_t waiting() const { return waiting_.size(); }
    [[nodiscard]] std::size_t inside() const { return inside_.size(); }

  private:
    struct Visitor {
        std::vector<std::string> bastions;
        Urgency urgency;
    };
    [[nodiscard]] bool fits(const Visitor& visitor) const;

    Doors doors_;
    Ticket last_ = 0;
    std::uint64_t admitted_ = 0;
    std::map<Ticket, Visitor> waiting_; ///< the longest waiting first
    std::map<Ticket, Visitor> inside_;
    std::map<std::string, std::size_t> through_; ///< of those inside, by bastion
};

} // namespace slotwitness::watch
