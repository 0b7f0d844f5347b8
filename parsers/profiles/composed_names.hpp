#pragma once

#include <slotwitness/state/reading.hpp>

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace slotwitness::profiles {

/// A row whose name is made of several cells or lines, so that no line shows it as it is called.
struct ComposedName {
    std::size_t row = 0;            ///< in the reading
    std::vector<std::string> parts; ///< what of it stands in the row's own lines, below its group
};

/// An unread line that has every part of such a name as a word of its own may be about that row:
/// `also` then says the name. Reads the lines for each name anew; both are few in a sound answer.
void tell_composed_names(std::span<const ComposedName> names, state::Reading& reading);

} // namespace slotwitness::profiles
