#include "section.hpp"

namespace slotwitness::bench {

const std::vector<Section>& sections() {
    static const std::vector<Section> all{
        {"reading: speed", reading_speed},   {"reading: growth", reading_growth},
        {"reading: memory", reading_memory}, {"witness: looks", witness_looks},
        {"links: queries", links_queries},   {"links: round trips", links_round_trips},
    };
    return all;
}

bool Entry::holds() const {
    const double value = ratio.value_or(ours.median);
    return value >= at_least.value_or(value) && value <= at_most.value_or(value);
}

} // namespace slotwitness::bench
