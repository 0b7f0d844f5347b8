#pragma once

#include "members.hpp"

#include <slotwitness/witness/event.hpp>
#include <slotwitness/witness/finding.hpp>

// Which members the events and findings of procedures have in the journal: for
// writing and for reading alike. What belongs to no procedure is in codec_write.cpp and
// codec_read.cpp.
namespace slotwitness::state {

constexpr auto words(Kind) {
    return std::array{Kind::chassis,  Kind::controller,   Kind::module, Kind::plane,
                      Kind::fan_tray, Kind::power_supply, Kind::port,   Kind::neighbour,
                      Kind::sensor,   Kind::alarm};
}

} // namespace slotwitness::state

namespace slotwitness::witness {

using journal::Of;

template <class Each>
void members(Each& each, Of<Component> auto& value) {
    each("kind", value.kind);
    each("name", value.name);
}
template <class Each>
void members(Each& each, Of<WorkPlan> auto& value) {
    each("work", value.work);
    each("slot", value.slot);
    each("spare", value.spare);
}
template <class Each>
void members(Each& each, Of<Exception> auto& value) {
    each("component", value.component);
    each("reason", value.reason);
}
template <class Each>
void members(Each& each, Of<HandbackPlan> auto& value) {
    each("work", value.work);
    each("accepted", value.accepted);
    each("gap_ms", value.gap);
    each("refresh_ms", value.refresh);
}
template <class Each>
void members(Each& each, Of<Change> auto& value) {
    each("what", value.what);
    each("was", value.was);
    each("is", value.is);
}
template <class Each>
void members(Each& each, Of<HandbackItem> auto& value) {
    each("component", value.component);
    each("fate", value.fate);
    each("changes", value.changes);
    each("why", value.why);
    each("says", value.says);
    each("waived_by", value.waived_by);
    each("reason", value.reason);
}
template <class Each>
void members(Each& each, Of<HandbackFinding> auto& value) {
    each("procedure", value.procedure);
    each("baseline", value.baseline);
    each("seen", value.seen);
    each("at_end", value.at_end);
    each("items", value.items);
    each("counts", value.counts);
}
template <class Each>
void members(Each& each, Of<DifferenceWaived> auto& value) {
    each("procedure", value.procedure);
    each("component", value.component);
    each("by", value.by);
    each("reason", value.reason);
}

template <class Each>
void members(Each& each, Of<Advice> auto& value) {
    each("first", value.first);
    each("say", value.say);
}
template <class Each>
void members(Each& each, Of<SentencePlan> auto& value) {
    each("sentence", value.sentence);
    each("askings", value.askings);
    each("gap_ms", value.gap);
    each("refresh_ms", value.refresh);
}
template <class Each>
void members(Each& each, Of<StepPlan> auto& value) {
    each("name", value.name);
    each("technician", value.technician);
    each("act", value.act);
    each("confirm", value.confirm);
    each("cautions", value.cautions);
    each("if_wrong", value.if_wrong);
    each("fact", value.fact);
    each("effect", value.effect);
    each("until", value.until);
    each("undoes", value.undoes);
    each("takes_ms", value.takes);
}
template <class Each>
void members(Each& each, Of<RulePlan> auto& value) {
    each("name", value.name);
    each("say", value.say);
    each("holds", value.holds);
    each("from", value.from);
    each("until", value.until);
    each("if_wrong", value.if_wrong);
}
template <class Each>
void members(Each& each, Of<WarmPlan> auto& value) {
    each("sensor", value.sensor);
    each("hottest", value.hottest);
    each("askings", value.askings);
    each("refresh_ms", value.refresh);
}
template <class Each>
void members(Each& each, Of<CoolingPlan> auto& value) {
    each("tray", value.tray);
    each("back", value.back);
    each("begins", value.begins);
    each("ends", value.ends);
    each("out", value.out);
    each("limit_ms", value.limit);
    each("warm", value.warm);
    each("takes_ms", value.takes);
}
template <class Each>
void members(Each& each, Of<ProcedureOpened> auto& value) {
    each("id", value.id);
    each("title", value.title);
    each("text", value.text);
    each("arguments", value.arguments);
    each("steps", value.steps);
    each("back_out", value.back_out);
    each("rules", value.rules);
    each("cooling", value.cooling);
    each("whole", value.whole);
    each("handback", value.handback);
    each("by", value.by);
    each("ticket", value.ticket);
    each("window", value.window);
    each("approver", value.approver);
    each("idempotency_key", value.idempotency_key);
    each("chassis", value.chassis);
    each("right_chassis", value.right_chassis);
    each("undo_ms", value.undo);
    each.later("warnings", value.warnings); // not in journals of semantics 4
}
template <class Each>
void members(Each& each, Of<StepAct> auto& value) {
    each("procedure", value.procedure);
    each("step", value.step);
    each("revision", value.revision);
    each("by", value.by);
}
template <class Each>
void members(Each& each, Of<StepReleased> auto& value) {
    members(each, value.act);
}
template <class Each>
void members(Each& each, Of<StepConfirmed> auto& value) {
    members(each, value.act);
    each("on_behalf_of", value.on_behalf_of);
    each("read_back", value.read_back);
}
template <class Each>
void members(Each& each, Of<ChassisNamed> auto& value) {
    each("procedure", value.procedure);
    each("serial_end", value.serial_end);
    each("by", value.by);
    each("on_behalf_of", value.on_behalf_of);
}
template <class Each>
void members(Each& each, Of<StepUnconfirmed> auto& value) {
    members(each, value.act);
}
template <class Each>
void members(Each& each, Of<StepTriedAgain> auto& value) {
    members(each, value.act);
}
template <class Each>
void members(Each& each, Of<StepForced> auto& value) {
    members(each, value.act);
    each("skipped", value.skipped);
    each("reason", value.reason);
}
template <class Each>
void members(Each& each, Of<StopAnswered> auto& value) {
    each("procedure", value.procedure);
    each("of", value.of);
    each("name", value.name);
    each("by", value.by);
    each("reason", value.reason);
}
template <class Each>
void members(Each& each, Of<BackOutBegun> auto& value) {
    each("procedure", value.procedure);
    each("by", value.by);
    each("reason", value.reason);
}
template <class Each>
void members(Each& each, Of<ShiftTaken> auto& value) {
    each("procedure", value.procedure);
    each("by", value.by);
}
template <class Each>
void members(Each& each, Of<ForecastMade> auto& value) {
    each("procedure", value.procedure);
    each("sensor", value.sensor);
    each("at", value.at);
    each("because", value.because);
    each("from", value.from);
    each("to", value.to);
}
template <class Each>
void members(Each& each, Of<ProcedureClosed> auto& value) {
    each("procedure", value.procedure);
    each("outcome", value.outcome);
    each("by", value.by);
    each("ticket", value.ticket);
    each("reason", value.reason);
}

template <class Each>
void members(Each& each, Of<Look> auto& value) {
    each("asked", value.asked);
    each("answered", value.answered);
}
template <class Each>
void members(Each& each, Of<StepFinding> auto& value) {
    each("procedure", value.procedure);
    each("name", value.name);
    each("revision", value.revision);
    each("stage", value.stage);
    each("fact", value.fact);
    each("effect", value.effect);
    each("opened", value.opened);
    each("released", value.released);
    each("confirmed", value.confirmed);
    each("ended", value.ended);
    each("undo_until", value.undo_until);
    each("released_by", value.released_by);
    each("confirmed_by", value.confirmed_by);
    each("on_behalf_of", value.on_behalf_of);
    each("unconfirmed_by", value.unconfirmed_by);
    each("forced_by", value.forced_by);
    each("reason", value.reason);
    each("lost", value.lost);
    each("accepted", value.accepted);
    each("answered_by", value.answered_by);
    each("answer", value.answer);
    each("code", value.code);
    each("read_back", value.read_back);
}
template <class Each>
void members(Each& each, Of<ChassisFinding> auto& value) {
    each("procedure", value.procedure);
    each("read", value.read);
    each("reported", value.reported);
    each("same", value.same);
    each("named", value.named);
    each("by", value.by);
    each("on_behalf_of", value.on_behalf_of);
    each("lost", value.lost);
    each("accepted", value.accepted);
    each("answered_by", value.answered_by);
    each("answer", value.answer);
}
template <class Each>
void members(Each& each, Of<PartFinding> auto& value) {
    each("procedure", value.procedure);
    each("serial", value.serial);
    each("meant", value.meant);
    each("right", value.right);
    each("accepted", value.accepted);
    each("answered_by", value.answered_by);
    each("answer", value.answer);
}
/// All but `because`, which has a codec of its own.
template <class Each>
void members(Each& each, Of<RuleFinding> auto& value) {
    each("procedure", value.procedure);
    each("name", value.name);
    each("active", value.active);
    each("truth", value.truth);
    each("last_look", value.last_look);
    each("valid_until", value.valid_until);
    each("lost", value.lost);
    each("accepted", value.accepted);
    each("answered_by", value.answered_by);
    each("answer", value.answer);
}
template <class Each>
void members(Each& each, Of<CoolingFinding> auto& value) {
    each("procedure", value.procedure);
    each("began", value.began);
    each("ended", value.ended);
    each("limit", value.limit);
    each("turn_back", value.turn_back);
    each("shortened", value.shortened);
    each("unseen", value.unseen);
    each("passed", value.passed);
    each("accepted", value.accepted);
    each("turning_back", value.turning_back);
    each("answered_by", value.answered_by);
    each("answer", value.answer);
}
template <class Each>
void members(Each& each, Of<ProcedureFinding> auto& value) {
    each("id", value.id);
    each("title", value.title);
    each("phase", value.phase);
    each("outcome", value.outcome);
    each("step", value.step);
    each("word", value.word);
    each("text", value.text);
    each("advice", value.advice);
    each("opened", value.opened);
    each("closed", value.closed);
    each("in_charge", value.in_charge);
    each("valid_until", value.valid_until);
    each("code", value.code);
}

constexpr auto words(StopAnswered::Of) {
    return std::array{StopAnswered::Of::rule, StopAnswered::Of::step, StopAnswered::Of::cooling,
                      StopAnswered::Of::chassis, StopAnswered::Of::serial};
}
constexpr auto words(Work) {
    return std::array{Work::replace, Work::reseat, Work::refit, Work::look_only};
}
constexpr auto words(Fate) {
    return std::array{Fate::as_it_was, Fate::meant_to_change, Fate::waived,
                      Fate::not_meant_to_change, Fate::not_known};
}
constexpr auto words(Closing) {
    return std::array{Closing::done, Closing::backed_out, Closing::closed_degraded};
}
constexpr auto words(Stage) {
    return std::array{Stage::waiting,   Stage::fact, Stage::released,
                      Stage::confirmed, Stage::done, Stage::skipped};
}
constexpr auto words(Truth) {
    return std::array{Truth::no, Truth::unknown, Truth::yes};
}
constexpr auto words(Phase) {
    return std::array{Phase::forward, Phase::backing_out, Phase::closed};
}
constexpr auto words(Word) {
    return std::array{Word::state_met, Word::wait, Word::call, Word::stop};
}

} // namespace slotwitness::witness
