#pragma once

#include "event_generators.hpp"

#include <slotwitness/witness/finding.hpp>

#include <vector>

/// Any finding that the journal may be given, for properties.
namespace slotwitness::journal::test {

inline witness::Cite cite() {
    return {text(), text(), position(), text()};
}

inline witness::Because because() {
    return {any_up_to(witness::Reason::cancelled), text(), some(cite)};
}
inline witness::Look look() {
    return {instant(), instant()};
}

inline witness::GateFinding gate_finding() {
    witness::GateFinding out;
    out.id = text();
    out.sentence = text();
    out.verdict = any_up_to(witness::Verdict::cancelled);
    out.failure = perhaps([] { return any_up_to(witness::Failure::not_seen); });
    out.standing = perhaps([] { return any_up_to(witness::Standing::unseen); });
    out.truth = any_up_to(witness::Truth::yes);
    out.because = because();
    out.opened = instant();
    out.deadline = perhaps(instant);
    out.decided = perhaps(instant);
    out.last_look = perhaps(look);
    out.held = duration();
    out.needs = duration();
    out.guarded = flag();
    out.retired = flag();
    out.valid_until = flag() ? instant() : units::Instant::max();
    return out;
}

inline witness::StepFinding step_finding() {
    witness::StepFinding out;
    out.procedure = text();
    out.name = text();
    out.revision = any_count();
    out.stage = any_up_to(witness::Stage::skipped);
    out.fact = text();
    out.effect = text();
    out.opened = perhaps(instant);
    out.released = perhaps(instant);
    out.confirmed = perhaps(instant);
    out.ended = perhaps(instant);
    out.released_by = text();
    out.confirmed_by = text();
    out.on_behalf_of = text();
    out.forced_by = text();
    out.reason = text();
    out.lost = flag();
    out.accepted = flag();
    out.answered_by = text();
    out.answer = text();
    out.code = text();
    out.read_back = flag();
    return out;
}

inline witness::RuleFinding rule_finding() {
    return {text(),
            text(),
            flag(),
            any_up_to(witness::Truth::yes),
            because(),
            perhaps(look),
            perhaps(instant),
            flag(),
            flag(),
            text(),
            text()};
}

inline witness::ChassisFinding chassis_finding() {
    return {text(),           text(), text(), any_up_to(witness::Truth::yes),
            perhaps(instant), text(), text(), flag(),
            flag(),           text(), text()};
}

inline witness::PartFinding part_finding() {
    return {text(), text(), text(), any_up_to(witness::Truth::yes), flag(), text(), text()};
}

inline witness::CoolingFinding cooling_finding() {
    return {text(),
            perhaps(instant),
            perhaps(instant),
            perhaps(instant),
            perhaps(instant),
            text(),
            {{text(), text()}},
            flag(),
            flag(),
            flag(),
            text(),
            text()};
}

inline witness::ProcedureFinding procedure_finding() {
    return {text(),
            text(),
            any_up_to(witness::Phase::closed),
            perhaps([] { return any_up_to(witness::Closing::closed_degraded); }),
            text(),
            any_up_to(witness::Word::stop),
            text(),
            perhaps(advice),
            instant(),
            perhaps(instant),
            text(),
            perhaps(instant),
            text()};
}

inline witness::HandbackFinding handback_finding() {
    return {text(),
            perhaps(instant),
            flag(),
            flag(),
            some([] {
                return witness::HandbackItem{component(),
                                             any_up_to(witness::Fate::not_known),
                                             some([] {
                                                 return witness::Change{text(), text(), text()};
                                             }),
                                             text(),
                                             text(),
                                             text(),
                                             text()};
            }),
            some([] {
                return witness::Change{text(), text(), text()};
            })};
}

/// What there is to say of a procedure.
inline witness::Finding work_finding() {
    switch (*rc::gen::inRange(0, 8)) {
    case 0:
        return step_finding();
    case 5:
        return handback_finding();
    case 1:
        return rule_finding();
    case 2:
        return cooling_finding();
    case 3:
        return witness::ProcedureRefused{text(), {text(), position(), text(), text(), text()}};
    case 4:
        return part_finding();
    case 6:
        return chassis_finding();
    default:
        return procedure_finding();
    }
}

inline witness::Finding finding() {
    switch (*rc::gen::inRange(0, 11)) {
    case 0:
        return witness::RoundMissed{any_count(), texts(), text()};
    case 1:
        return witness::GateRefused{text(), {text(), position(), text(), text(), text()}};
    case 2:
        return witness::InventoryFixed{any_up_to(state::Kind::alarm), texts()};
    case 3: {
        witness::BaselineFixed fixed{any_count(), instant(), {}, text()};
        for (const std::string& asking : texts())
            fixed.captures[asking] = text();
        return fixed;
    }
    case 4:
        return witness::SwitchedOver{any_up_to(witness::SwitchedOver::Of::address), text(), text()};
    case 5:
        return gate_finding();
    default:
        return work_finding();
    }
}

inline std::vector<witness::Finding> findings() {
    std::vector<witness::Finding> out;
    for (int i = *rc::gen::inRange(0, 4); i > 0; --i)
        out.push_back(finding());
    return out;
}

} // namespace slotwitness::journal::test
