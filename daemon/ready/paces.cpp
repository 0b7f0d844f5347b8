#include "findings.hpp"

#include <algorithm>

namespace slotwitness::ready {
namespace {

using units::Duration;

/// The soonest that a gate can be met after its opening, if each look takes so long: what is held
/// begins at the end of one look, and is seen to be held by another, asked after hold and refresh.
Duration soonest(const sentences::Sentence& sentence, Duration look, Duration refresh) {
    return sentence.hold ? 2 * look + refresh + *sentence.hold : look;
}

/// Does the budget bear looks at everything for as long as the work takes?
void add_budget(const Work& work, std::size_t queries, Duration gap, Findings& findings) {
    const auto most = work.chassis.budget.queries_an_hour;
    if (!most || queries == 0)
        return;
    const Duration interval =
        watch::lasting_interval(work.chassis.pace, queries, work.chassis.budget);
    const std::string says = "the budget of " + std::to_string(*most) +
                             " queries an hour bears a look at everything, " +
                             std::to_string(queries) + " queries, every " +
                             units::to_text(interval) + " in the long run";
    if (interval > gap)
        findings.push_back({Weight::holds_up, "budget",
                            says + "; a hold bears " + units::to_text(gap) + " between two",
                            "Raise queries-an-hour in [chassis.budget] for the work, or lengthen "
                            "pending in [chassis.pace]."});
    else if (interval > work.chassis.pace.pending)
        findings.push_back({Weight::advice, "budget", says,
                            "Expect looks more seldom than configured, or raise queries-an-hour "
                            "in [chassis.budget]."});
    else
        findings.push_back({Weight::as_needed, "budget", says, {}});
}

} // namespace

Findings of_paces(const Work& work, const Look& look, const std::vector<Said>& said) {
    Findings findings;
    const profiles::Profile& profile = work.chassis.profile;
    const Duration took = look.took();
    const Duration interval = std::max(work.chassis.pace.pending, took);
    const Duration gap = watch::default_gap(work.chassis.pace, profile.reach.timeout);
    const std::string says = "one look at everything takes " + units::to_text(took) +
                             "; one is begun every " + units::to_text(work.chassis.pace.pending) +
                             ", and a hold bears " + units::to_text(gap) + " between two";
    // While a procedure is under way each look is at everything.
    if (interval + took > gap)
        findings.push_back({Weight::holds_up, "pace", says,
                            "Lengthen pending in [chassis.pace]: as it is, nothing that must hold "
                            "for a time is ever met."});
    else if (took > work.chassis.pace.pending)
        findings.push_back({Weight::advice, "pace", says,
                            "Expect looks more seldom than configured, or lengthen pending in "
                            "[chassis.pace]."});
    else
        findings.push_back({Weight::as_needed, "pace", says, {}});
    add_budget(work, look.tried.size(), gap, findings);
    for (const Said& each : said) {
        if (!each.needs || !each.sentence.within)
            continue;
        const Duration least =
            soonest(each.sentence, took, profiles::refresh_of(profile, *each.needs));
        if (least > *each.sentence.within)
            findings.push_back({Weight::holds_up, each.of,
                                "can be met " + units::to_text(least) +
                                    " after its opening at the soonest, and has " +
                                    units::to_text(*each.sentence.within),
                                "Give it more time in the procedure, after within."});
    }
    return findings;
}

} // namespace slotwitness::ready
