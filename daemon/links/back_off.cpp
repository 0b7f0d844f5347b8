#include "link.hpp"

#include <algorithm>

namespace slotwitness::links {

units::Duration back_off(unsigned attempt, units::Duration first, units::Duration longest,
                         double uniform) {
    auto step = std::min(first, longest);
    for (unsigned doubled = 0; doubled < attempt && step < longest; ++doubled) {
        step = step > longest / 2 ? longest : step * 2;
        if (step <= units::Duration::zero()) {
            break;
        }
    }
    const auto half = step / 2;
    const auto jitter = static_cast<double>((step - half).count()) * std::clamp(uniform, 0.0, 1.0);
    return half + units::Duration(static_cast<units::Duration::rep>(jitter));
}

} // namespace slotwitness::links
