#include "attention.hpp"

#include <algorithm>

namespace slotwitness::watch {

Plan next_round(const Pace& pace, std::optional<units::Instant> last_start, units::Instant now,
                const std::vector<std::string>& wanted,
                const std::vector<std::string>& idle_askings) {
    const units::Duration interval = wanted.empty() ? pace.idle : pace.pending;
    const units::Instant start = last_start ? std::max(now, *last_start + interval) : now;
    return {start, wanted.empty() ? idle_askings : wanted};
}

units::Duration default_gap(const Pace& pace, units::Duration query_timeout) {
    return 3 * pace.pending + query_timeout;
}

} // namespace slotwitness::watch
