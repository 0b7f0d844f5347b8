#pragma once

#include "generator.hpp"

#include <optional>
#include <string>

namespace slotwitness::oracle {

/// Who gives the witness its ticks.
enum class Ticks {
    asked_for, ///< each one that it wants, at its time, as the sequencer does; checked at every
               ///< millisecond
    left_out,  ///< none but those of the trace; checked after every event
};

/// Where witness and oracle first differ on a trace, in words; nothing if they agree throughout.
[[nodiscard]] std::optional<std::string> difference(const Trace& trace, Ticks ticks);

/// A smaller trace on which they still differ: no one event can be left out of it.
[[nodiscard]] Trace minimised(Trace trace, Ticks ticks);

} // namespace slotwitness::oracle
