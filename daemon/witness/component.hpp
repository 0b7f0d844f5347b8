#pragma once

#include <slotwitness/state/words.hpp>

#include <compare>
#include <string>

namespace slotwitness::witness {

/// One component of a chassis, by what it is and what the device calls it.
struct Component {
    state::Kind kind = state::Kind::plane;
    std::string name;
    friend auto operator<=>(const Component&, const Component&) = default;
};

} // namespace slotwitness::witness
