#pragma once

#include <slotwitness/terminal/clean.hpp>

#include <rapidcheck.h>

#include <cstddef>
#include <ostream>
#include <string>
#include <vector>

/// Answers as a device types them on a terminal, with the text that it meant. Shares nothing with
/// what takes a terminal away again.
namespace slotwitness::terminal {

struct Typed {
    TerminalSpec spec;
    std::string meant;
    std::string raw;
    std::vector<std::size_t> places; ///< in `raw`, of each byte of `meant` that is no LF
};

/// Random text through a pager of any habit, coloured, overprinted, with typing errors taken back,
/// lines written anew, an echo and log lines thrown in.
[[nodiscard]] rc::Gen<Typed> anything_typed();

/// Pieces that often make control functions and often just miss them.
[[nodiscard]] rc::Gen<std::string> anything_sent();

void showValue(const Typed& typed, std::ostream& out);

} // namespace slotwitness::terminal
