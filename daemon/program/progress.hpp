#pragma once

#include <slotwitness/witness/finding.hpp>

#include <optional>
#include <string>

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

/// The lines of the device that a finding rests on, each with its place, indented; empty if none.
[[nodiscard]] std::string cited(const witness::Because& because);

} // namespace slotwitness::program
