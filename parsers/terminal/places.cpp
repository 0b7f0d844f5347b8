#include "places.hpp"

#include <algorithm>

namespace slotwitness::terminal {

void Places::add(state::Position clean, state::Position raw, bool runs) {
    const bool already = runs && clean.column == 1 && this->raw(clean) == raw &&
                         this->raw({clean.line, 2}) == state::Position{raw.line, raw.column + 1};
    if (!already)
        pieces_.push_back({clean, raw, runs});
}

state::Position Places::raw(state::Position clean) const {
    if (clean.line == 0)
        return clean;
    const state::Position place{clean.line, std::max<std::size_t>(clean.column, 1)};
    const auto after =
        std::upper_bound(pieces_.begin(), pieces_.end(), place,
                         [](state::Position at, const Piece& piece) { return at < piece.clean; });
    state::Position found = place;
    if (after != pieces_.begin()) {
        const Piece& piece = *std::prev(after);
        found.line = piece.raw.line + (place.line - piece.clean.line);
        if (place.line == piece.clean.line)
            found.column = piece.raw.column + (piece.runs ? place.column - piece.clean.column : 0);
    }
    if (clean.column == 0)
        found.column = 0;
    return found;
}

} // namespace slotwitness::terminal
