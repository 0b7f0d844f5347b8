#include "look.hpp"

#include <algorithm>

namespace slotwitness::ready {

const Tried* Look::of(std::string_view asking) const {
    const auto found = std::find_if(tried.begin(), tried.end(),
                                    [&](const Tried& each) { return each.asking == asking; });
    return found == tried.end() ? nullptr : &*found;
}

const state::Reading* Look::reading_of(std::string_view asking) const {
    const Tried* one = of(asking);
    const auto* answer = one != nullptr ? std::get_if<Answer>(&one->came) : nullptr;
    return answer != nullptr ? answer->reading.get() : nullptr;
}

units::Duration Look::took() const {
    units::Duration all{0};
    for (const Tried& each : tried)
        all += each.took;
    return all;
}

} // namespace slotwitness::ready
