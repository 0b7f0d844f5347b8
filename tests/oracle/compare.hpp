#pragma once

#include "generator.hpp"

#include <cstdint>
#include <optional>
#include <string>

namespace slotwitness::oracle {

/// Who gives the witness its ticks.
enum class Ticks {
    asked_for, ///< each one that it wants, at its time, as the sequencer does; checked at every
               ///< millisecond
    left_out,  ///< none but those of the trace; checked after every event
};

/// How many random cases to go through: a hundred thousand, a million with SLOTWITNESS_LONG=1, as
/// many as SLOTWITNESS_TRACES says. Under a sanitizer, where it is the memory that is looked at,
/// `watched`, or ten times that.
[[nodiscard]] std::uint64_t how_many(std::uint64_t watched);

/// Where witness and oracle first differ on a trace, in words; nothing if they agree throughout.
[[nodiscard]] std::optional<std::string> difference(const Trace& trace, Ticks ticks);

/// A smaller trace on which they still differ: no one event can be left out of it.
[[nodiscard]] Trace minimised(Trace trace, Ticks ticks);

} // namespace slotwitness::oracle
