#include "compatibility.hpp"

#include <algorithm>

namespace slotwitness::procedures {

Fit fit_of(const Compatibility& list, std::string_view part, std::string_view revision) {
    Fit fit = Fit::not_listed;
    for (const Compatibility::Part& each : list.fits) {
        if (each.number != part)
            continue;
        if (each.revisions.empty() || std::find(each.revisions.begin(), each.revisions.end(),
                                                revision) != each.revisions.end())
            return Fit::listed;
        fit = Fit::other_revision;
    }
    return fit;
}

} // namespace slotwitness::procedures
