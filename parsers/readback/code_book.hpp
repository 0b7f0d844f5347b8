#pragma once

#include "spelling.hpp"

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::readback {

/// So many decisions have a code each: three characters, a letter and a digit at least among them,
/// so that no code is an abbreviation or a number.
inline constexpr std::size_t most_decisions = 19 * 19 * 19 - 12 * 12 * 12 - 7 * 7 * 7;

/// Of that many, the first, any two codes differ in two places: one character misheard or
/// miswritten never makes the code of another decision, and two characters tell which it is. By
/// construction: the third character follows from the two before it, as in a Latin square; at least
/// 19² − 12² − 7² of its cells hold a letter and a digit.
inline constexpr std::size_t two_apart = 19 * 19 - 12 * 12 - 7 * 7;

/// The codes of the decisions that belong to one thing, such as a procedure under way: they are all
/// different. Those of two things are independent of each other: that two decisions have one code
/// happens once in `most_decisions` times. Always the same for the same things: a replay derives
/// them again.
class CodeBook {
  public:
    CodeBook() = default;
    /// `of`: the chassis and the thing. `decisions`: the gravest confusion first, each once, at
    /// most `most_decisions`; more throw std::length_error.
    CodeBook(std::string_view of, const std::vector<std::string>& decisions);

    /// Empty if there is no such decision.
    [[nodiscard]] std::string code(std::string_view decision) const;
    /// The decision that has this code; empty if none has.
    [[nodiscard]] std::string decision(std::string_view code) const;

  private:
    std::map<std::string, std::string, std::less<>> codes_; ///< by decision
};

} // namespace slotwitness::readback
