#pragma once

#include <slotwitness/witness/finding.hpp>

#include <cstddef>
#include <optional>
#include <ostream>
#include <string>
#include <utility>

namespace slotwitness::program {

/// Says of each finding of one gate how far it is, for a person who waits: one line a finding, so
/// that it can be searched. Device text is made legible.
class Progress {
  public:
    /// "2026-11-25T12:00:03.250Z  pending  true  look 4  held 3 s of 10 s  left 4 min 57 s  The
    /// device reports …". Without a deadline, or once decided, nothing is left.
    [[nodiscard]] std::string line(const witness::GateFinding& finding);

  private:
    std::optional<witness::Look> last_;
    unsigned looks_ = 0; ///< that counted
};

/// Shows the lines of one gate. On a terminal one that says nothing new but numbers is written over
/// by the next; what comes anew stays. Elsewhere each stays.
class Shown {
  public:
    /// `columns` of the terminal; 0: it is none.
    Shown(std::ostream& out, std::size_t columns) : out_(out), columns_(columns) {}
    void show(const witness::GateFinding& finding, const std::string& line);

  private:
    std::ostream& out_;
    std::size_t columns_;
    std::optional<std::pair<witness::Verdict, witness::Truth>> last_;
};

/// The lines of the device that a finding rests on, each with its place, indented; empty if none.
[[nodiscard]] std::string cited(const witness::Because& because);

} // namespace slotwitness::program
