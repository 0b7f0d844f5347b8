#include "judge.hpp"

#include <slotwitness/witness/evaluate.hpp>

#include <utility>

namespace slotwitness::ready {
namespace {

using witness::Heard;
using witness::Silent;
using witness::View;

/// Answers count as proven here: that they are not is told once, not of every sentence.
Heard heard(const Tried& tried, const Answer& answer) {
    return {tried.asking,
            {},
            answer.ending.complete() && answer.reading->whole,
            answer.ending.remark,
            answer.reading,
            true};
}

View view_of(const Look& look, const std::vector<std::string>& askings) {
    std::vector<Heard> answers;
    std::vector<Silent> silent;
    for (const std::string& asking : askings) {
        const Tried* tried = look.of(asking);
        if (tried == nullptr)
            silent.push_back({asking, witness::NoAnswer::session_lost,
                              "it was not asked, for the session was lost"});
        else if (const auto* answer = std::get_if<Answer>(&tried->came))
            answers.push_back(heard(*tried, *answer));
        else
            silent.push_back(std::get<Silent>(tried->came));
    }
    return {std::move(answers), std::move(silent)};
}

std::vector<std::string> every_asking(const Look& look) {
    std::vector<std::string> askings;
    for (const Tried& tried : look.tried)
        askings.push_back(tried.asking);
    return askings;
}

} // namespace

Judge::Judge(const Work& work, const Look& look)
    : work_(work), look_(look), whole_(view_of(look, every_asking(look))) {
    inventory_.state(work.chassis.inventory);
    for (const state::Kind kind : state::words_of<state::Kind>())
        if (!whole_.may_have_more(kind)) {
            const auto listed = whole_.listed(kind);
            static_cast<void>(inventory_.fix(kind, {listed.begin(), listed.end()}));
        }
    if (!whole_.all_whole() || look.tried.empty())
        return;
    std::vector<Heard> answers;
    for (const Tried& tried : look.tried)
        answers.push_back(heard(tried, std::get<Answer>(tried.came)));
    baseline_.emplace(witness::BaselineFixed{0, look.at, {}, {}}, std::move(answers));
}

witness::Judgement Judge::judge(const sentences::Condition& condition,
                                const std::set<profiles::Asking>& needs) const {
    std::vector<std::string> askings;
    for (const profiles::Asking& asking : needs)
        askings.push_back(asking.key());
    const View view = view_of(look_, askings);
    const witness::Grounds grounds{view,    inventory_, baseline_ ? &*baseline_ : nullptr,
                                   nullptr, look_.at,   work_.chassis.peak_load};
    return witness::evaluate(condition, grounds).judgement;
}

} // namespace slotwitness::ready
