#include "profile.hpp"
#include "version.hpp"

#include <algorithm>

namespace slotwitness::profiles {
namespace {

std::optional<std::string> software_in(const state::Reading& reading) {
    for (const state::Row& row : reading.rows)
        if (row.kind == state::Kind::chassis)
            if (const auto fact = row.facts.find(state::Attribute::software_rev);
                fact != row.facts.end())
                if (const auto* text = std::get_if<std::string>(&fact->second.value))
                    return *text;
    return std::nullopt;
}

} // namespace

std::optional<std::string> not_proven(const Profile& profile, const state::Reading& reading,
                                      std::span<const std::string> allowed) {
    if (!profile.proven_for)
        return std::nullopt;
    const ProvenFor& proven = *profile.proven_for;
    const std::string range =
        "proven for software " + proven.from + (proven.from == proven.to ? "" : " to " + proven.to);
    const auto software = reading.whole ? software_in(reading) : std::nullopt;
    if (!software)
        return "the device did not report a readable software version, and this profile is only " +
               range;
    if (std::find(allowed.begin(), allowed.end(), *software) != allowed.end())
        return std::nullopt;
    if (compare_versions(*software, proven.from) >= 0 &&
        compare_versions(*software, proven.to) <= 0)
        return std::nullopt;
    return "the device reports software " + *software + ", and this profile is only " + range +
           "; try it with captured answers, then widen the range or name the version in "
           "allow-unproven of this chassis";
}

} // namespace slotwitness::profiles
