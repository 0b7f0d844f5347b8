#include "findings.hpp"

namespace slotwitness::ready {
namespace {

std::optional<std::string> text_of_chassis(const state::Reading* reading,
                                           state::Attribute attribute) {
    if (reading == nullptr)
        return std::nullopt;
    for (const state::Row& row : reading->rows)
        if (row.kind == state::Kind::chassis)
            if (const auto fact = row.facts.find(attribute); fact != row.facts.end())
                if (const auto* text = std::get_if<std::string>(&fact->second.value))
                    return *text;
    return std::nullopt;
}

std::optional<std::string> serial_of(const Work& work, const Look& look) {
    const auto& identity = work.chassis.profile.identity;
    return identity ? text_of_chassis(look.reading_of(*identity), state::Attribute::serial)
                    : std::nullopt;
}

Finding of_serial(const Work& work, const Look& look) {
    const std::string about = "chassis serial";
    const auto& expected = work.chassis.serial;
    const auto told = serial_of(work, look);
    if (!expected)
        return {Weight::advice, about,
                "the configuration states none" +
                    (told ? "; the device reports " + *told : std::string()),
                "State serial of this chassis, from its label: else nobody notices when another "
                "one answers at its address."};
    if (!work.chassis.profile.identity)
        return {Weight::advice, about,
                "the profile reads none, so " + *expected + " is not compared",
                "Name in the profile, with identity, the query that tells it."};
    if (!told)
        return {Weight::holds_up, about,
                "not known: the device did not report one that could be read",
                "Mend the query " + *work.chassis.profile.identity +
                    ": without it the daemon "
                    "refuses the session."};
    if (*told != *expected)
        return {Weight::holds_up, about,
                "the device reports " + *told + ", and " + *expected +
                    " is configured: another chassis answers; nothing else that it says was used",
                "Compare address and serial in the configuration with the label on the chassis."};
    return {Weight::as_needed, about, "the device reports " + *told + ", as configured", {}};
}

Finding of_software(const Work& work, const Look& look) {
    const std::string about = "software";
    const profiles::Profile& profile = work.chassis.profile;
    if (!profile.proven_for)
        return {Weight::advice, about,
                "not known whether this profile was tried with what the device runs: it does not "
                "say what it is proven for",
                "Try it with answers captured from this software, then state proven-for in it."};
    const state::Reading* reading = look.reading_of(profile.proven_for->query);
    const auto unproven = profiles::not_proven(
        profile, reading != nullptr ? *reading : state::Reading{}, work.chassis.allow_unproven);
    if (!unproven)
        return {Weight::as_needed,
                about,
                "the device reports " +
                    text_of_chassis(reading, state::Attribute::software_rev).value_or("none") +
                    ", for which the profile is proven or allowed",
                {}};
    return {Weight::holds_up, about, *unproven,
            "Until then every fact stays unknown and no gate passes."};
}

} // namespace

bool is_another(const Work& work, const Look& look) {
    const auto told = serial_of(work, look);
    return work.chassis.serial && told && *told != *work.chassis.serial;
}

Findings of_chassis(const Work& work, const Look& look) {
    if (is_another(work, look))
        return {of_serial(work, look)};
    Findings findings{of_serial(work, look), of_software(work, look)};
    if (work.chassis.in_band)
        findings.push_back(
            {Weight::advice, "way",
             "leads through the fabric of the chassis itself, as configured: "
             "the work may end the router session and all that is seen",
             "Reach it over its management port instead; else have its console at hand."});
    return findings;
}

} // namespace slotwitness::ready
