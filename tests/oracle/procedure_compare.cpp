#include "procedure_compare.hpp"

#include "procedure_driven.hpp"

#include <exception>
#include <utility>

namespace slotwitness::oracle {

namespace {

std::optional<std::string> differs(const Course& course, const std::vector<Told>& told,
                                   Ticks ticks) {
    DrivenProcedure driven(course.procedure);
    std::optional<Time> before;
    for (std::size_t k = 0; k < course.happened.size(); ++k) {
        const Time at = course.happened[k].event.at;
        while (ticks == Ticks::asked_for && driven.next_due() && *driven.next_due() < at) {
            if (before >= *driven.next_due())
                return "at " + std::to_string(*before) + ": the same tick is wanted again";
            before = *driven.next_due();
            driven.tick(*before);
        }
        before = at;
        driven.happen(course.happened[k]);
        if (told.at(k) != driven.told())
            return "after " + std::to_string(k) + " at " + std::to_string(at) +
                   "\n  oracle:  " + to_text(told[k]) + "\n  witness: " + to_text(driven.told());
    }
    return std::nullopt;
}

} // namespace

std::optional<std::string> difference(const Course& course, const std::vector<Told>& told,
                                      Ticks ticks) {
    try {
        return differs(course, told, ticks);
    } catch (const std::exception& defect) {
        return std::string("it threw: ") + defect.what();
    }
}

Course minimised(Course course, Ticks ticks) {
    for (bool smaller = true; smaller;) {
        smaller = false;
        const auto keep_if_it_differs = [&](Course candidate) {
            if (candidate.happened.size() < course.happened.size() && well_formed(candidate) &&
                difference(candidate, judge(candidate), ticks)) {
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
