#include "card.hpp"
#include "said.hpp"

#include <slotwitness/witness/say.hpp>

#include <algorithm>

// What the shift that takes over must know. What people said and what the device reports stand
// apart: neither is taken for the other.
namespace slotwitness::card {

namespace {

using namespace witness;

/// Its one word may have outlived what it rests on: it is then told as the daemon would.
void take_back(Now& now, const Card& card) {
    const ProcedureFinding& finding = card.finding;
    const bool is_valid = finding.valid_until && card.as_of < *finding.valid_until;
    if (now.word != Word::state_met || is_valid)
        return;
    now.word = Word::wait;
    now.advice.reset();
    now.text = "The last look is too old to act on. Until " +
               (finding.valid_until ? clock_of(card, *finding.valid_until) : std::string("then")) +
               " it was: " + finding.text;
}

bool is_unanswered(const Record& record) {
    const replay::RecordedProcedure& of = record.procedure;
    const auto is_lost = [](const auto& each) { return each.second.lost; };
    return std::any_of(of.rules.begin(), of.rules.end(), is_lost) ||
           std::any_of(of.steps.begin(), of.steps.end(), is_lost) ||
           (of.cooling && of.cooling->passed) || (of.chassis && of.chassis->lost);
}

bool is_overdue(const std::optional<GateFinding>& gate) {
    return gate && gate->verdict == Verdict::fail;
}

std::string waits_for(const Record& record, const std::optional<StepLine>& step) {
    if (is_unanswered(record))
        return "an engineer: to answer for the stop, by name and with a reason";
    if (!step)
        return "an engineer: to close the procedure";
    const std::string actor = step->plan.technician ? "the technician" : "the engineer";
    switch (step->finding.stage) {
    case Stage::waiting:
        return "the step before it";
    case Stage::fact:
        if (is_overdue(step->fact))
            return "an engineer: to try again, to go on by name and reason, or to turn back; not "
                   "seen: " +
                   step->plan.fact.sentence;
        if (step->fact && step->fact->verdict == Verdict::pass)
            return "the engineer: to release it";
        return "the device: " + step->plan.fact.sentence;
    case Stage::released:
        return actor + ": to do it, and to say that it is done";
    case Stage::confirmed:
        if (is_overdue(step->effect))
            return "an engineer: to try again, to go on by name and reason, or to turn back; not "
                   "seen: " +
                   step->plan.effect->sentence;
        return step->plan.effect ? "the device: " + step->plan.effect->sentence : "the next look";
    case Stage::done:
    case Stage::skipped:
        return "the next step";
    }
    return "";
}

std::string device_says(const Record& record, const Card& card, state::Kind kind,
                        const std::string& name) {
    const Seen seen = card::seen(record.trail.newest, kind, name);
    if (seen.listing == Seen::Listing::unknown || !seen.answered)
        return "no whole answer tells whether the device lists it";
    if (seen.listing == Seen::Listing::not_listed)
        return "the last whole answer, of " + clock_of(card, *seen.answered) + ", does not list it";
    return "the last whole answer, of " + clock_of(card, *seen.answered) + ", lists it" +
           (seen.serial ? ", serial " + *seen.serial : "");
}

const StepLine* find(const std::vector<StepLine>& lines, const std::string& name) {
    const auto line = std::find_if(lines.begin(), lines.end(),
                                   [&](const StepLine& each) { return each.plan.name == name; });
    return line == lines.end() ? nullptr : &*line;
}

const StepLine* that_undoes(const Card& card, const std::string& name) {
    const auto& back = card.way_back;
    const auto line = std::find_if(back.begin(), back.end(),
                                   [&](const StepLine& each) { return each.plan.undoes == name; });
    return line == back.end() ? nullptr : &*line;
}

/// What technicians confirmed from a step on, the way back behind it.
std::string confirmed_from(const Card& card, const std::string& first) {
    std::string told;
    bool begun = first.empty();
    for (const auto* lines : {&card.steps, &card.way_back})
        for (const StepLine& line : *lines) {
            begun = begun || line.plan.name == first;
            const StepFinding& finding = line.finding;
            if (!begun || !line.plan.technician || !finding.released)
                continue;
            told += told.empty() ? "" : "; then ";
            if (finding.confirmed)
                told += "step " + line.plan.name + " confirmed at " +
                        clock_of(card, *finding.confirmed);
            else if (finding.stage == Stage::released)
                told += "step " + line.plan.name + " released at " +
                        clock_of(card, *finding.released) + ", not confirmed: it may be half done";
            else
                told += "step " + line.plan.name + " passed over";
        }
    return told.empty() ? "nobody confirmed anything of it" : told;
}

/// The witness' clock runs by what the device reports, and begins with what people confirm.
void add_tray(std::vector<Out>& all, const Record& record, const Card& card) {
    const witness::CoolingPlan& plan = *card.opened.cooling;
    const bool is_running = !card.cooling.empty() && !card.cooling.back().ended;
    const StepLine* begins = find(card.steps, plan.begins);
    const bool is_under_way = begins != nullptr && begins->finding.stage == Stage::released;
    if (is_running || is_under_way)
        all.push_back({"fan tray " + plan.tray, confirmed_from(card, plan.begins),
                       device_says(record, card, state::Kind::fan_tray, plan.tray)});
}

/// No step says that it puts the part back; the one that puts the tray back comes after it.
bool is_part_out(const Card& card, const witness::CoolingPlan& plan) {
    const StepLine* out = find(card.steps, plan.out);
    if (out == nullptr || !out->finding.released)
        return false;
    const StepLine* back_in = that_undoes(card, plan.out);
    if (back_in != nullptr && back_in->finding.confirmed)
        return false;
    const StepLine* ends = find(card.steps, plan.ends);
    const StepLine* out_again = that_undoes(card, plan.ends);
    return ends == nullptr || ends->finding.stage != Stage::done ||
           (out_again != nullptr && out_again->finding.released);
}

/// Where no step is said to take the part out: some technician's step was begun, and the device
/// has not listed the part since.
bool is_part_unaccounted(const Card& card) {
    std::optional<Instant> touched;
    for (const auto* lines : {&card.steps, &card.way_back})
        for (const StepLine& line : *lines)
            if (line.plan.technician && line.finding.released)
                touched = std::max(touched, line.finding.confirmed ? line.finding.confirmed
                                                                   : line.finding.released);
    return touched && card.newest &&
           (card.newest->listing != Seen::Listing::listed || card.newest->answered < touched);
}

std::vector<Out> out_of(const Record& record, const Card& card) {
    std::vector<Out> all;
    const auto& plan = card.opened.cooling;
    if (plan)
        add_tray(all, record, card);
    if (!card.work_slot)
        return all;
    const bool is_declared = plan && !plan->out.empty();
    if (is_declared ? is_part_out(card, *plan) : is_part_unaccounted(card)) {
        const auto& slot = *card.work_slot;
        std::string what = witness::spoken({slot.kind, slot.name});
        const bool is_the_tray = !all.empty() && all.front().what == what;
        if (!is_the_tray)
            all.push_back({std::move(what), confirmed_from(card, is_declared ? plan->out : ""),
                           device_says(record, card, slot.kind, slot.name)});
    }
    return all;
}

} // namespace

std::optional<Now> now_of(const Record& record, const Card& card) {
    const ProcedureFinding& finding = record.procedure.finding;
    if (finding.phase == Phase::closed)
        return std::nullopt;
    Now now;
    now.phase = finding.phase;
    now.word = finding.word;
    now.text = finding.text;
    now.advice = finding.advice;
    take_back(now, card);
    if (const StepLine* line = find(card.steps, finding.step))
        now.step = *line;
    else if (const StepLine* back = find(card.way_back, finding.step)) {
        now.step = *back;
        now.on_the_way_back = true;
    }
    now.waits_for = waits_for(record, now.step);
    now.out = out_of(record, card);
    if (!card.cooling.empty() && !card.cooling.back().ended) {
        now.cooling_since = card.cooling.back().began;
        now.cooling_limit = card.cooling.back().limit;
    }
    if (record.procedure.cooling)
        now.turn_back = record.procedure.cooling->turn_back;
    return now;
}

} // namespace slotwitness::card
