#pragma once

#include <cstddef>
#include <cstdint>

/// Every bound of this room, so that no grammar and no text can hang it, overflow the stack or take
/// memory without end.
namespace slotwitness::abnf {

// Of a grammar. Each is refused with its place.
inline constexpr std::size_t longest_grammar =
    64 * 1024; ///< bytes: RFCs' largest grammars have 40 KB
inline constexpr std::size_t most_rules = 1000;
/// Groups and options in one another; the reader and all that walks a rule recurse so deep.
inline constexpr std::size_t deepest_groups = 32;
/// In `n*m`: more than a line of an answer has octets.
inline constexpr std::size_t most_repeats = 65'535;

// Of one match.
/// Octets: places are kept in 32 bits.
inline constexpr std::size_t longest_text = 16 * 1024 * 1024;
/// Places to come back to, rules entered and captures noted: each list, 24 bytes an entry.
inline constexpr std::size_t most_marks = 65'536;

/// Beyond twice those of the match itself. Whoever reads an explanation reads its beginning.
inline constexpr std::uint64_t most_steps_to_explain = 2000;

/// What one match may cost; the caller's to choose.
struct Budget {
    /// An instruction, or 32 octets looked over, is a step. A line that fits its grammar takes some
    /// dozens; this many are some milliseconds.
    std::uint64_t steps = 1'000'000;
    /// Rules and counted repetitions in one another. Lists of a thousand are written as
    /// repetitions.
    std::uint32_t depth = 1000;
};

} // namespace slotwitness::abnf
