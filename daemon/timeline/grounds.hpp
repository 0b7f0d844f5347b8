#pragma once

#include <slotwitness/state/reading.hpp>

#include <string>

namespace slotwitness::timeline {

/// All that a word or a label rests on in an answer. While it stays, the same is told of each part;
/// and it takes a small part of the room that the reading does.
[[nodiscard]] std::string grounds_of(const state::Reading& reading);

} // namespace slotwitness::timeline
