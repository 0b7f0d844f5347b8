#include "condition.hpp"

#include <slotwitness/witness/predicate.hpp>

#include <array>
#include <utility>

namespace slotwitness::timeline {

namespace {

using sentences::Trade;
using witness::Truth;

/// The narrower word first: what is shut is down as well.
constexpr std::array<std::pair<Trade, Condition>, 5> words{{
    {Trade::shut, Condition::shut},
    {Trade::down, Condition::down},
    {Trade::degraded, Condition::degraded},
    {Trade::operational, Condition::operational},
    {Trade::starting, Condition::starting},
}};

} // namespace

std::string_view to_word(Condition value) {
    switch (value) {
    case Condition::operational:
        return "operational";
    case Condition::degraded:
        return "degraded";
    case Condition::starting:
        return "starting";
    case Condition::down:
        return "down";
    case Condition::shut:
        return "shut";
    case Condition::absent:
        return "absent";
    case Condition::unknown:
        return "unknown";
    }
    __builtin_unreachable();
}

Told told_by(const witness::View& view, const witness::Component& component) {
    constexpr auto trust = witness::Trust::whole_answers;
    const witness::Judgement listed = view.presence(component, trust);
    if (listed.truth == Truth::no)
        return {Condition::absent, {}};
    if (listed.truth == Truth::unknown)
        return {Condition::unknown, listed.because.text};
    static const witness::Inventory nothing; // it counts for parts that are not listed alone
    std::string why;
    for (const auto& [word, condition] : words) {
        const auto judgement = witness::judge(view, trust, nothing, component, word);
        if (judgement.truth == Truth::yes)
            return {condition, {}};
        // That `shut` is unknown where `down` is known to be false says nothing.
        if (word == Trade::operational && judgement.truth == Truth::unknown)
            why = judgement.because.text;
    }
    if (why.empty())
        why = "The device reports no state that has a word here.";
    return {Condition::unknown, std::move(why)};
}

} // namespace slotwitness::timeline
