#include "card.hpp"

#include <algorithm>

namespace slotwitness::card {

namespace {

using namespace witness;

std::optional<GateFinding> gate_of(const Trail& trail, const std::string& id) {
    const auto gate = trail.gates.find(id);
    return gate == trail.gates.end() ? std::nullopt : std::optional(gate->second);
}

std::vector<StepLine> lines_of(const Record& record, const std::vector<StepPlan>& plans) {
    std::vector<StepLine> lines;
    for (const StepPlan& plan : plans) {
        StepLine line;
        line.number = lines.size() + 1;
        line.plan = plan;
        const auto& steps = record.procedure.steps;
        if (const auto found = steps.find(plan.name); found != steps.end())
            line.finding = found->second;
        line.fact = gate_of(record.trail, line.finding.fact);
        line.effect = gate_of(record.trail, line.finding.effect);
        for (const Deed& deed : record.trail.deeds)
            if (deed.of == plan.name &&
                (deed.kind == Deed::Kind::forced || deed.kind == Deed::Kind::skipped))
                line.passed_over.push_back(deed);
        lines.push_back(std::move(line));
    }
    return lines;
}

} // namespace

Card card_of(const Record& record, Instant at) {
    const replay::RecordedProcedure& procedure = record.procedure;
    const Trail& trail = record.trail;
    Card card;
    card.as_of = procedure.finding.closed ? std::min(*procedure.finding.closed, at) : at;
    card.chassis = record.chassis;
    card.chassis_serial = chassis_serial(trail.newest);
    card.at_the_rack = procedure.chassis;
    card.right_part = procedure.part;
    card.handback = procedure.handback;
    card.opened = procedure.opened;
    card.finding = procedure.finding;
    card.deeds = trail.deeds;
    card.alerts = trail.alerts;
    card.losses = trail.losses;
    card.cooling = trail.cooling;
    card.restarts = trail.restarts;
    card.switchovers = trail.switchovers;
    card.steps = lines_of(record, procedure.opened.steps);
    card.way_back = lines_of(record, procedure.opened.back_out);
    std::erase_if(card.way_back, [](const StepLine& line) { return !line.finding.opened; });
    card.work_slot = record.work_slot;
    if (trail.baseline)
        card.baseline = trail.baseline->at;
    if (record.work_slot) {
        const auto& slot = *record.work_slot;
        if (trail.baseline)
            card.before = seen(trail.in_baseline, slot.kind, slot.name);
        card.newest = seen(trail.newest, slot.kind, slot.name);
    }
    card.now = now_of(record, card);
    return card;
}

} // namespace slotwitness::card
