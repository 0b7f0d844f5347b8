#include "findings.hpp"

#include <algorithm>

namespace slotwitness::ready {

Findings of_sentences(const std::vector<Said>& said) {
    Findings findings;
    for (const Said& each : said)
        if (!each.needs)
            findings.push_back({Weight::holds_up, each.of,
                                "cannot be judged: it needs " + each.needs.error().expected,
                                each.needs.error().remedy});
    return findings;
}

Findings of_peak(const Work& work, const std::vector<Said>& said) {
    Finding finding{Weight::as_needed, "peak load", {}, {}};
    for (const Said& each : said)
        if (compares_capacity(each.sentence.condition))
            finding.needed_by.push_back(each.of);
    if (finding.needed_by.empty())
        return {};
    if (work.chassis.peak_load) {
        finding.says =
            units::to_text(units::Quantity{*work.chassis.peak_load, units::Unit::bits_per_second}) +
            " is stated; the worse of it and what the device reports is covered or not";
    } else {
        finding.weight = Weight::holds_up;
        finding.says = "none is stated, and the device reports the load of this moment alone";
        finding.remedy = "State the most that the chassis may have to carry during the work: load "
                         "in [chassis.peak].";
    }
    return {finding};
}

} // namespace slotwitness::ready
