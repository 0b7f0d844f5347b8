#pragma once

#include <slotwitness/witness/event.hpp>

#include <map>
#include <string>
#include <tuple>

namespace slotwitness::warming {

/// What of a chassis sets how it is cooled: which trays and modules are there and run, and how fast
/// the fans turn.
class Fans {
  public:
    /// True if the answer shows another state than the one before, as known of each query: what
    /// sensors told until then says nothing of what comes. A speed counts as another once it is off
    /// by more than a tenth from where it was when the course began.
    [[nodiscard]] bool changed(const witness::Answered& answer);
    void forget() { known_.clear(); }

  private:
    struct Part {
        std::string state; ///< what its row says of it, but for figures
        double rpm = 0;
    };
    /// By asking; kind and name. Of what a cut answer does not show nothing changed.
    std::map<std::string, std::map<std::pair<state::Kind, std::string>, Part>> known_;
};

} // namespace slotwitness::warming
