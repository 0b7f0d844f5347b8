#include "warming.hpp"

#include <algorithm>
#include <chrono>
#include <utility>

namespace slotwitness::warming {

using witness::Answered;
using witness::CoolingFinding;
using witness::ForecastMade;
using witness::Instant;

std::vector<ForecastMade> Warming::take(const witness::Event& event,
                                        const std::vector<witness::Finding>& findings) {
    std::vector<ForecastMade> made;
    if (std::holds_alternative<witness::RunStarted>(event.what)) {
        fans_.forget();
        begin_anew(event.at);
    }
    if (const auto* opened = std::get_if<witness::ProcedureOpened>(&event.what))
        open(*opened, findings);
    if (const auto* recorded = std::get_if<ForecastMade>(&event.what))
        if (const auto clock = clocks_.find(recorded->procedure); clock != clocks_.end())
            std::erase_if(clock->second.made, [&](const ForecastMade& each) {
                return each.sensor == recorded->sensor && each.to <= recorded->to;
            });
    for (const witness::Finding& finding : findings)
        if (const auto* cooling = std::get_if<CoolingFinding>(&finding))
            follow(event.at, *cooling);
        else if (const auto* told = std::get_if<witness::ProcedureFinding>(&finding);
                 told && told->phase == witness::Phase::closed)
            clocks_.erase(told->id);
    if (const auto* answer = std::get_if<Answered>(&event.what))
        look(event.at, *answer, made);
    return made;
}

void Warming::open(const witness::ProcedureOpened& opened,
                   const std::vector<witness::Finding>& findings) {
    const bool admitted =
        std::any_of(findings.begin(), findings.end(), [&](const witness::Finding& finding) {
            const auto* told = std::get_if<witness::ProcedureFinding>(&finding);
            return told && told->id == opened.id;
        });
    if (admitted && opened.cooling && !opened.cooling->warm.empty())
        clocks_.try_emplace(opened.id).first->second.plan = *opened.cooling;
}

void Warming::follow(Instant at, const CoolingFinding& finding) {
    const auto found = clocks_.find(finding.procedure);
    if (found == clocks_.end())
        return;
    Clock& clock = found->second;
    const bool ran = std::exchange(clock.runs, finding.began && !finding.ended);
    if (!clock.runs) {
        clock.sensors.clear();
        clock.made.clear();
        return;
    }
    clock.limit = *finding.limit;
    if (ran)
        return;
    for (const witness::WarmPlan& plan : clock.plan.warm)
        clock.sensors.emplace_back(plan, at);
}

void Warming::begin_anew(Instant at) {
    for (auto& [id, clock] : clocks_) {
        clock.made.clear();
        for (Sensor& sensor : clock.sensors)
            sensor.begin_anew(at);
    }
}

void Warming::look(Instant at, const Answered& answer, std::vector<ForecastMade>& made) {
    if (fans_.changed(answer))
        for (auto& [id, clock] : clocks_)
            for (Sensor& sensor : clock.sensors)
                sensor.begin_anew(at);
    for (auto& [id, clock] : clocks_)
        for (Sensor& sensor : clock.sensors) {
            auto one = sensor.take(at, answer, clock.limit);
            if (!one)
                continue;
            one->procedure = id;
            if (one->at)
                clock.limit = std::min(clock.limit, *one->at);
            clock.made.push_back(*one);
            made.push_back(std::move(*one));
        }
}

std::vector<Outlook> Warming::outlooks() const {
    std::vector<Outlook> outlooks;
    for (const auto& [id, clock] : clocks_)
        for (const Sensor& sensor : clock.sensors)
            outlooks.push_back({id, sensor.plan().sensor, sensor.outlook(clock.limit)});
    return outlooks;
}

std::optional<std::string> Warming::differs(const ForecastMade& recorded) const {
    const auto told = [](const ForecastMade& one) {
        return "sensor " + one.sensor + ", rounds " + std::to_string(one.from) + " to " +
               std::to_string(one.to) + (one.at ? ", from " + units::to_rfc3339(*one.at) : "");
    };
    const auto same = [&](const ForecastMade& one) {
        return one.sensor == recorded.sensor && one.from == recorded.from &&
               one.to == recorded.to && one.at.has_value() == recorded.at.has_value() &&
               one.because.empty() == recorded.because.empty() &&
               (!one.at || std::chrono::abs(*one.at - *recorded.at) <= tolerance);
    };
    const auto clock = clocks_.find(recorded.procedure);
    std::string recomputed;
    if (clock != clocks_.end())
        for (const ForecastMade& one : clock->second.made) {
            if (same(one))
                return std::nullopt;
            recomputed = told(one);
        }
    return "recorded: a forecast of " + told(recorded) +
           "; recomputed: " + (recomputed.empty() ? "none" : recomputed);
}

} // namespace slotwitness::warming
