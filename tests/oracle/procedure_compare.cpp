#include "procedure_compare.hpp"

#include "procedure_driven.hpp"

#include <exception>
#include <utility>

namespace slotwitness::oracle {

namespace {

std::optional<std::string> gates_differ(const Course& course, const Judge& judge,
                                        const DrivenProcedure& driven) {
    const auto differ = [&](StepAt step, bool effect) -> std::optional<std::string> {
        const auto said = judge.said(step, effect);
        const auto verdict = driven.verdict(step, effect);
        const auto oracle = said ? std::optional(said->verdict) : std::nullopt;
        if (oracle == verdict)
            return std::nullopt;
        const auto number = [](const std::optional<Verdict>& of) {
            return of ? std::to_string(static_cast<int>(*of)) : "none";
        };
        return "gate of " + name_of(step) + (effect ? ", effect" : "") + ": oracle " +
               number(oracle) + ", witness " + number(verdict);
    };
    for (std::size_t n = 0; n < course.procedure.steps.size(); ++n)
        for (const bool effect : {false, true})
            if (auto different = differ({false, n}, effect))
                return different;
    for (std::size_t n = 0; n < course.procedure.back_out.size(); ++n)
        for (const bool effect : {false, true})
            if (auto different = differ({true, n}, effect))
                return different;
    return std::nullopt;
}

std::optional<std::string> differs(const Course& course, Ticks ticks, std::vector<Told>* told) {
    Judge judge(course.procedure);
    DrivenProcedure driven(course.procedure);
    std::optional<Time> before;
    for (std::size_t k = 0; k < course.happened.size(); ++k) {
        const Time at = course.happened[k].event.at;
        while (ticks == Ticks::asked_for && driven.next_due() && *driven.next_due() < at) {
            if (*driven.next_due() <= before)
                return "at " + std::to_string(*before) + ": the same tick is wanted again";
            before = *driven.next_due();
            driven.tick(*before);
        }
        before = at;
        judge.happen(course.happened[k]);
        driven.happen(course.happened[k]);
        if (told)
            told->push_back(judge.told());
        if (judge.told() != driven.told())
            return "after " + std::to_string(k) + " at " + std::to_string(at) +
                   "\n  oracle:  " + to_text(judge.told()) +
                   "\n  witness: " + to_text(driven.told());
        if (const auto different = gates_differ(course, judge, driven))
            return "after " + std::to_string(k) + " at " + std::to_string(at) + "\n  " + *different;
    }
    return std::nullopt;
}

} // namespace

std::optional<std::string> difference(const Course& course, Ticks ticks, std::vector<Told>* told) {
    try {
        return differs(course, ticks, told);
    } catch (const std::exception& defect) {
        return std::string("it threw: ") + defect.what();
    }
}

Course minimised(Course course, Ticks ticks) {
    for (bool smaller = true; smaller;) {
        smaller = false;
        const auto keep_if_it_differs = [&](Course candidate) {
            if (candidate.happened.size() < course.happened.size() && well_formed(candidate) &&
                difference(candidate, ticks)) {
                course = std::move(candidate);
                smaller = true;
            }
        };
        for (int round = 1; round < 60; ++round) {
            Course candidate = course;
            std::erase_if(candidate.happened, [round](const Happened& happened) {
                return happened.deed == Deed::none && happened.event.round == round &&
                       happened.event.what != Happening::run_started &&
                       happened.event.what != Happening::tick;
            });
            keep_if_it_differs(std::move(candidate));
        }
        for (std::size_t k = course.happened.size(); k-- > 1;) {
            Course candidate = course;
            candidate.happened.erase(candidate.happened.begin() + static_cast<long>(k));
            keep_if_it_differs(std::move(candidate));
        }
    }
    return course;
}

} // namespace slotwitness::oracle
