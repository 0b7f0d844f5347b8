#pragma once

#include "oracle.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace slotwitness::oracle {

/// One chassis's history and the gates that were opened on it.
struct Trace {
    std::vector<Gate> gates; ///< one or two
    std::vector<Event> events;
    Time until = 0; ///< watch the clock until here
};

/// The trace of a seed: small whole numbers, so that boundaries coincide often. The same on every
/// machine.
[[nodiscard]] Trace random_trace(std::uint64_t seed);

/// Whether the events could have come from a sequencer: each answer belongs to a round under way,
/// and so on.
[[nodiscard]] bool well_formed(const Trace& trace);

[[nodiscard]] std::string to_text(const Trace& trace);

} // namespace slotwitness::oracle
