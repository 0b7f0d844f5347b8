#include "print.hpp"

#include "said.hpp"

#include <slotwitness/marked/legible.hpp>
#include <slotwitness/marked/wrapped.hpp>
#include <slotwitness/witness/say.hpp>

#include <algorithm>
#include <string_view>

namespace slotwitness::card {

namespace {

using marked::wrapped;
using namespace witness;

std::string field(std::string_view name, std::string_view value) {
    std::string first(name);
    first.resize(13, ' ');
    return value.empty() ? wrapped(first, "not given") : wrapped(first, value);
}

/// Nothing, if there is nothing to say.
std::string section(const std::string& heading, const std::string& body) {
    return body.empty() ? "" : "\n" + heading + "\n" + body;
}

/// The device's own lines, each as it came; a row may stand over several.
std::string quoted(const std::vector<Line>& lines) {
    std::string all;
    for (const Line& line : lines) {
        std::string_view rest = line.text;
        for (std::size_t number = line.line; !rest.empty(); ++number) {
            const std::string_view one = rest.substr(0, rest.find('\n'));
            rest.remove_prefix(std::min(one.size() + 1, rest.size()));
            all += "    " +
                   marked::legible(line.asking + ":" + std::to_string(number) + "  " +
                                   std::string(one))
                       .text +
                   "\n";
        }
    }
    return all;
}

std::string serial_of(const Card& card) {
    return card.chassis_serial ? card.chassis_serial->text + " by its answer of " +
                                     clock_of(card, card.chassis_serial->answered)
                               : "not known: no whole answer tells it";
}

std::string head(const Card& card) {
    const ProcedureOpened& opened = card.opened;
    std::string text = title_of(card) + "  " + opened.id + "  as of " +
                       units::to_rfc3339(card.as_of) + "\n" + wrapped("", opened.title) + "\n";
    text += field("outcome", outcome_of(card));
    text += field("chassis", card.chassis + ", serial " + serial_of(card));
    if (const std::string rack = rack_of(card); !rack.empty())
        text += field("at the rack", rack);
    if (card.work_slot)
        text += field("work slot", spoken({card.work_slot->kind, card.work_slot->name}));
    text += field("opened", units::to_rfc3339(card.finding.opened) + " by " + opened.by);
    text += field("in charge", card.finding.in_charge);
    text += field("ticket", opened.ticket);
    text += field("window", opened.window);
    text += field("approver", opened.approver);
    return text;
}

std::string of_step(const StepLine& line) {
    return "step " + line.plan.name + " (" + (line.plan.technician ? "technician" : "engineer") +
           ", " + std::string(to_word(line.finding.stage)) + "): " + line.plan.act;
}

std::string now_text(const Card& card) {
    const Now& now = *card.now;
    std::string text = wrapped("  ", std::string(to_word(now.word)) + ": " + now.text);
    if (now.advice)
        text += wrapped("  do         ", now.advice->first + ": " + now.advice->say);
    if (now.phase == Phase::backing_out)
        text += wrapped("  way back   ", "they are on the way back");
    if (now.step)
        text += wrapped("  under way  ", of_step(*now.step));
    text += wrapped("  waits for  ", now.waits_for);
    if (now.cooling_limit)
        text += wrapped("  cooling    ", left_of(card, *now.cooling_limit) + ": fan tray " +
                                             card.opened.cooling->tray + " must be back by " +
                                             clock_of(card, *now.cooling_limit));
    if (now.turn_back)
        text += wrapped("  turn back  ", "at " + clock_of(card, *now.turn_back) +
                                             " the old part must be out, else the tray goes back");
    return text;
}

std::string out_text(const Now& now) {
    if (now.out.empty())
        return "  Nothing, as far as people confirmed and the device reports.\n";
    std::string text;
    for (const Out& out : now.out)
        text += wrapped("  ", out.what) + wrapped("    people   ", out.people) +
                wrapped("    device   ", out.device);
    return text;
}

std::string step_text(const Card& card, const StepLine& line, std::string number) {
    const StepFinding& finding = line.finding;
    number.resize(4, ' ');
    std::string text =
        wrapped(number, line.plan.name + " (" + (line.plan.technician ? "technician" : "engineer") +
                            "): " + std::string(to_word(finding.stage)));
    if (finding.stage == Stage::waiting)
        return text;
    const std::string people = people_of(card, line);
    if (!people.empty())
        text += wrapped("      ", people);
    text += wrapped("      before  ", said(card, line.fact));
    if (line.plan.effect && finding.confirmed)
        text += wrapped("      effect  ", said(card, line.effect));
    for (const Deed& deed : line.passed_over)
        text += wrapped("      ! ", said(card, deed));
    return text;
}

/// Those that are still to come are told in one line: most of a handover would be they.
std::string steps_text(const Card& card, const std::vector<StepLine>& lines) {
    std::string text, to_come;
    for (const StepLine& line : lines)
        if (line.finding.stage == Stage::waiting)
            to_come += (to_come.empty() ? "" : ", ") + line.plan.name;
        else
            text += step_text(card, line, std::to_string(line.number) + ".");
    if (!to_come.empty())
        text += wrapped(card.is_closed() ? "not begun   " : "to come     ", to_come);
    return text;
}

template <class Things>
std::string listed(const Card& card, const Things& things) {
    std::string text;
    for (const auto& thing : things)
        text += wrapped("  ", said(card, thing));
    return text;
}

std::string lines_text(const std::vector<std::string>& lines) {
    std::string text;
    for (const std::string& line : lines)
        text += wrapped("  ", line);
    return text;
}

std::string handback_text(const Card& card) {
    const std::string all = lines_text(handed_back(card));
    const bool is_known = card.handback && card.handback->baseline;
    return wrapped("  ", handback_of(card)) +
           (all.empty() && is_known ? "  Nothing differs.\n" : all);
}

std::string part_text(const Card& card) {
    if (!card.work_slot)
        return "";
    const std::string then =
        card.baseline ? "in the baseline of " + clock_of(card, *card.baseline) : "baseline";
    std::string text = wrapped("  before  ", card.before ? then + ": " + said(card, *card.before)
                                                         : "no baseline was kept: not known");
    text += card.before ? quoted(card.before->rows) : "";
    text += wrapped("  last    ", card.newest ? said(card, *card.newest) : "not known");
    text += card.newest ? quoted(card.newest->rows) : "";
    const bool both = card.before && card.newest && card.before->serial && card.newest->serial;
    if (both)
        text += wrapped("          ", *card.before->serial == *card.newest->serial
                                          ? "the same serial as before"
                                          : "another serial than before");
    return text;
}

std::string faults_text(const std::optional<Seen>& seen) {
    if (!seen)
        return "  Not known: no baseline was kept.\n";
    if (!seen->faults.empty())
        return quoted(seen->faults);
    return seen->alarms_known ? "  No alarm named it.\n"
                              : "  Not known: no whole answer lists the alarms.\n";
}

} // namespace

std::string to_text(const Card& card) {
    std::string text = head(card);
    if (card.now) {
        text += section("NOW", now_text(card));
        text += section("OUT, OR NOT KNOWN TO BE BACK", out_text(*card.now));
    }
    const std::string alerts = listed(card, card.alerts);
    text += section("CALLS AND STOPS", alerts.empty() ? "  None.\n" : alerts);
    text += section("SEEN TO BE LOST", listed(card, card.losses));
    text += section("WHAT PEOPLE DID BESIDE THE STEPS", lines_text(beside_the_steps(card)));
    text += section("ACCEPTED BEFORE THE WORK", lines_text(accepted_in(card)));
    text += section("COOLING", listed(card, card.cooling));
    text += section("STEPS", steps_text(card, card.steps));
    text += section("THE WAY BACK", steps_text(card, card.way_back));
    text += section("THE PART IN THE WORK SLOT", part_text(card));
    if (card.work_slot) {
        text += section("FAULT LINES ABOUT IT IN THE BASELINE", faults_text(card.before));
        text += section("FAULT LINES ABOUT IT LAST", faults_text(card.newest));
    }
    text += section("WHAT IS NOT AS IT WAS BEFORE THE WORK", handback_text(card));
    text += section("IN FIGURES", lines_text(counted(card)));
    return text + "\n" + wrapped("", foot_of(card)) + wrapped("", "Times are UTC.");
}

} // namespace slotwitness::card
