#pragma once

#include <slotwitness/state/reading.hpp>

#include <vector>

namespace slotwitness::terminal {

/// From places of the clean text to places of the raw one. Only where they part is anything kept:
/// after the last piece, lines differ by a constant and columns not at all.
class Places {
  public:
    /// From `clean` on, to the end of its line, columns run beside those from `raw` on; or, if not
    /// `runs`, all of them stand at `raw`. Pieces come in the order of `clean`.
    void add(state::Position clean, state::Position raw, bool runs);

    /// A place with line or column 0 ("not known") keeps what is not known.
    [[nodiscard]] state::Position raw(state::Position clean) const;

  private:
    struct Piece {
        state::Position clean;
        state::Position raw;
        bool runs = true;
    };
    std::vector<Piece> pieces_;
};

} // namespace slotwitness::terminal
