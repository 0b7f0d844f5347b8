#include "conditions.hpp"

#include "findings.hpp"
#include "remedies.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::ready {
namespace {

using profiles::Asking;
using witness::Reason;
using witness::Truth;

/// A part of what must be so now, and who needs it.
struct Part {
    sentences::Condition condition;
    std::vector<std::string> of;
    std::string remedy;
    std::set<Asking> needs; ///< of the sentence that it stands in
};

std::vector<Part> needed_now(const std::vector<Said>& said) {
    std::vector<Part> parts;
    for (const Said& each : said) {
        if (!each.needs || each.when != Said::When::now)
            continue;
        for (sentences::Condition& condition : parts_of(each.sentence.condition)) {
            auto known = std::find_if(parts.begin(), parts.end(), [&](const Part& part) {
                return part.condition == condition;
            });
            if (known == parts.end())
                known = parts.insert(parts.end(), Part{std::move(condition), {}, {}, *each.needs});
            known->of.push_back(each.of);
            if (known->remedy.empty())
                known->remedy = each.remedy;
        }
    }
    return parts;
}

/// Why it is unknown is told already, of the query that brought no answer to judge it by.
bool is_told_of_its_query(const witness::Judgement& judgement, const std::set<Asking>& needs,
                          const std::set<std::string>& wanting) {
    const Reason why = judgement.because.reason;
    const bool for_want =
        why == Reason::no_answer || why == Reason::not_whole || why == Reason::not_read;
    return judgement.truth == Truth::unknown && for_want &&
           std::any_of(needs.begin(), needs.end(),
                       [&](const Asking& asking) { return wanting.contains(asking.key()); });
}

Finding finding_of(const Part& part, const Judged& judged) {
    const witness::Judgement& judgement = judged.judgement;
    const bool untrue = judgement.truth == Truth::no;
    // A counter is looked at over time, and the work's own looks do that.
    const bool needs_time = !untrue && judgement.because.reason == Reason::nothing_earlier;
    return {needs_time ? Weight::advice : Weight::holds_up,
            judged.condition,
            (untrue ? "not so. " : "not known. ") + judgement.because.text,
            part.remedy.empty() ? remedy_for(part.condition, judgement) : part.remedy,
            part.of,
            judgement.because.cites};
}

/// The steps of some work wait for one thing several times.
void add_later(const Said& said, const Judge& judge, std::vector<Judged>& later) {
    const std::string text = sentences::to_text(said.sentence.condition);
    const auto known = std::find_if(later.begin(), later.end(),
                                    [&](const Judged& each) { return each.condition == text; });
    if (known != later.end())
        known->of.push_back(said.of);
    else
        later.push_back({text, {said.of}, judge.judge(said.sentence.condition, *said.needs)});
}

} // namespace

Conditions judge_conditions(const Work& work, const Judge& judge, const std::vector<Said>& said,
                            const std::set<std::string>& wanting) {
    Conditions told;
    for (Part& part : needed_now(said)) {
        const std::set<Asking> needs =
            profiles::needs(work.chassis.profile, {part.condition, {}, {}}).value_or(part.needs);
        Judged judged{sentences::to_text(part.condition), part.of,
                      judge.judge(part.condition, needs)};
        if (judged.judgement.truth == Truth::yes && compares_capacity(part.condition))
            told.findings.push_back(
                {Weight::as_needed, "capacity", judged.judgement.because.text, {}, part.of});
        if (judged.judgement.truth != Truth::yes &&
            !is_told_of_its_query(judged.judgement, needs, wanting))
            told.findings.push_back(finding_of(part, judged));
        told.now.push_back(std::move(judged));
    }
    for (const Said& each : said)
        if (each.needs && each.when == Said::When::later)
            add_later(each, judge, told.later);
    return told;
}

} // namespace slotwitness::ready
