#include "check.hpp"

#include "conditions.hpp"
#include "findings.hpp"

#include <algorithm>
#include <iterator>
#include <utility>

namespace slotwitness::ready {
namespace {

void append(Findings& all, Findings more) {
    std::move(more.begin(), more.end(), std::back_inserter(all));
}

/// What the session and the answers tell.
void check_device(const Work& work, const Look& look, bool fits, const std::vector<Said>& said,
                  Report& report) {
    Findings& findings = report.findings;
    findings.push_back(
        {Weight::as_needed,
         "router session",
         "opened in " + units::to_text(look.to_open) + ", beside those that are there already",
         {}});
    append(findings, of_chassis(work, look));
    if (is_another(work, look))
        return;
    OfQueries queries = of_queries(work, look, said);
    append(findings, std::move(queries.findings));
    append(findings, of_paces(work, look, said));
    if (!fits)
        return;
    const Judge judge(work, look);
    append(findings, of_work_slot(work, judge.whole()));
    Conditions conditions = judge_conditions(work, judge, said, queries.wanting);
    append(findings, std::move(conditions.findings));
    report.now = std::move(conditions.now);
    report.later = std::move(conditions.later);
}

std::vector<std::string> what_it_cannot_see(const Work& work, const std::vector<Said>& said) {
    std::vector<std::string> unseen{
        "What changes after this look. Look again just before the work.",
        "Parts, tools and people, the labels, and whether this is the chassis that you stand at.",
        "Other work that is under way: the daemon refuses a second piece on one chassis or in one "
        "risk group as it is opened."};
    if (work.procedure.procedure.ready.empty())
        unseen.emplace_back("Changes that wait to be confirmed and other people's sessions: the "
                            "procedure states no [[ready]] check of them.");
    else
        unseen.emplace_back(
            "Changes that wait to be confirmed and other people's sessions, but for "
            "what the ready checks above ask.");
    if (std::any_of(said.begin(), said.end(), [](const Said& each) {
            return compares_with_baseline(each.sentence.condition);
        }))
        unseen.emplace_back(
            "The baseline: this look stands for it, and the work keeps its own as it "
            "is opened.");
    return unseen;
}

} // namespace

std::size_t Report::count(Weight weight) const {
    return static_cast<std::size_t>(
        std::count_if(findings.begin(), findings.end(),
                      [&](const Finding& finding) { return finding.weight == weight; }));
}

std::string_view to_word(Weight value) {
    switch (value) {
    case Weight::holds_up:
        return "holds-up";
    case Weight::advice:
        return "advice";
    case Weight::as_needed:
        return "as-needed";
    }
    return "holds-up";
}

std::vector<profiles::Asking> askings(const profiles::Profile& profile,
                                      const procedures::FilledProcedure& procedure) {
    std::vector<profiles::Asking> askings = profiles::all_queries(profile);
    for (const Said& said : all_said(profile, procedure))
        if (said.needs)
            for (const profiles::Asking& asking : *said.needs)
                if (std::find(askings.begin(), askings.end(), asking) == askings.end())
                    askings.push_back(asking);
    return askings;
}

Report check(const Work& work, const Look& look) {
    Report report;
    const bool fits = of_family(work).empty();
    const std::vector<Said> said =
        fits ? all_said(work.chassis.profile, work.procedure) : std::vector<Said>();
    append(report.findings, of_family(work));
    if (look.no_session)
        report.findings.push_back(
            {Weight::holds_up, "router session", *look.no_session,
             "Mend that and look again: nothing that the device reports was looked at."});
    else
        check_device(work, look, fits, said, report);
    append(report.findings, of_sentences(said));
    append(report.findings, of_peak(work, said));
    append(report.findings, of_spare(work));
    append(report.findings, of_site(work));
    report.cannot_see = what_it_cannot_see(work, said);
    return report;
}

} // namespace slotwitness::ready
