#pragma once

#include "screen.hpp"

#include <cstddef>
#include <string_view>

namespace slotwitness::terminal {

/// What lines leave behind for others.
struct Mode {
    bool other_set = false; ///< G0 is not ASCII
    bool shifted_out = false;
    /// The first line after which nothing is sure: a control string without an end, another mode.
    /// 0: none.
    std::size_t lost_line = 0;
    /// The last line that may have changed what stands before it. 0: none.
    std::size_t reaching_line = 0;
};

/// Executes a line without its end. `number` is its own.
[[nodiscard]] Shown render(std::string_view line, std::size_t number, const TerminalSpec& spec,
                           Mode& mode);

} // namespace slotwitness::terminal
