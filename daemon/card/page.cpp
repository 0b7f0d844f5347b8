#include "print.hpp"
#include "said.hpp"

#include <slotwitness/sheet/paper.hpp>
#include <slotwitness/witness/say.hpp>

namespace slotwitness::card {

namespace {

using namespace witness;
using sheet::blank;
using sheet::element;
using sheet::Markup;

std::string slot_of(const Card& card) {
    return card.work_slot ? witness::spoken({card.work_slot->kind, card.work_slot->name}) : "";
}

Markup page_head(const Card& card) {
    const ProcedureOpened& opened = card.opened;
    const bool is_closed = card.is_closed();
    const Markup what = element("h1", "", opened.title) +
                        element("p", "",
                                std::string(is_closed ? "Close-out card " : "Shift handover ") +
                                    opened.id + ", as of " + units::to_rfc3339(card.as_of));
    const Markup where = blank("Chassis", card.chassis) +
                         blank("Serial", card.chassis_serial ? card.chassis_serial->text : "") +
                         blank("Work slot", slot_of(card)) + blank("At the rack", rack_of(card));
    const Markup who = blank("Ticket", opened.ticket) + blank("Window", opened.window) +
                       blank("Approver", opened.approver) + blank("Opened by", opened.by) +
                       blank("In charge", card.finding.in_charge);
    return element("header", "",
                   element("div", "what", what) + element("div", "where", where) +
                       element("div", "who", who));
}

Markup box(std::string_view heading, const Markup& body) {
    return body.empty() ? Markup{} : element("section", "", element("h2", "", heading) + body);
}

Markup now_box(const Card& card) {
    const Now& now = *card.now;
    Markup body =
        element("p", "word", element("b", "", to_word(now.word))) + element("p", "", now.text);
    if (now.advice)
        body += element("p", "lead", "Do: " + now.advice->first + ". " + now.advice->say);
    if (now.step)
        body +=
            element("p", "", "Under way: step " + now.step->plan.name + ". " + now.step->plan.act);
    body += element("p", "", "Waits for " + now.waits_for);
    if (now.cooling_limit)
        body += element("p", "lead",
                        "Cooling: " + left_of(card, *now.cooling_limit) + "; fan tray " +
                            card.opened.cooling->tray + " must be back by " +
                            clock_of(card, *now.cooling_limit));
    if (now.turn_back)
        body += element("p", "lead",
                        "Turn back at " + clock_of(card, *now.turn_back) +
                            " if the old part is not out by then");
    Markup out;
    for (const Out& each : now.out)
        out +=
            element("li", "",
                    element("b", "", each.what + ". ") +
                        sheet::text("People: " + each.people + ". Device: " + each.device + "."));
    if (out.empty())
        out = element("li", "", "Nothing, as far as people confirmed and the device reports.");
    return element("section", "rules", element("h2", "", "Now") + body) +
           element("section", "rules",
                   element("h2", "", "Out, or not known to be back") + element("ul", "", out));
}

template <class Things>
Markup list_of(const Card& card, const Things& things) {
    Markup items;
    for (const auto& thing : things)
        items += element("li", "", said(card, thing));
    return items.empty() ? items : element("ul", "", items);
}

Markup items_of(const std::vector<std::string>& lines) {
    Markup items;
    for (const std::string& line : lines)
        items += element("li", "", line);
    return items.empty() ? element("li", "", "Nothing.") : items;
}

Markup seen_on(const Card& card, const StepLine& line) {
    Markup seen = element("p", "", "Before: " + said(card, line.fact));
    if (line.plan.effect && line.finding.confirmed)
        seen += element("p", "", "Effect: " + said(card, line.effect));
    for (const Deed& deed : line.passed_over)
        seen += element("p", "lead", said(card, deed));
    return seen;
}

Markup table_of(const Card& card, const std::vector<StepLine>& lines) {
    Markup rows;
    for (const StepLine& line : lines) {
        const bool is_begun = line.finding.stage != Stage::waiting;
        const Markup number =
            element("span", "number", std::to_string(line.number)) +
            element("span", "actor", line.plan.technician ? "technician" : "engineer");
        rows += element("tr", line.plan.technician ? "technician" : "",
                        element("th", "", number) +
                            element("td", "",
                                    element("p", "lead", line.plan.name) +
                                        element("p", "", to_word(line.finding.stage))) +
                            element("td", "", is_begun ? people_of(card, line) : "") +
                            element("td", "", is_begun ? seen_on(card, line) : Markup{}));
    }
    if (rows.empty())
        return {};
    const Markup heads = element("th", "", "Step") + element("th", "", "") +
                         element("th", "", "What people did") +
                         element("th", "", "What the device reported");
    return element("table", "steps done",
                   element("thead", "", element("tr", "", heads)) + element("tbody", "", rows));
}

Markup lines_of_device(const std::vector<Line>& lines) {
    Markup all;
    for (const Line& line : lines)
        all +=
            element("p", "lines", line.asking + ":" + std::to_string(line.line) + "\n" + line.text);
    return all;
}

Markup part_box(std::string_view heading, const Card& card, const std::optional<Seen>& seen) {
    if (!seen)
        return box(heading, element("p", "", "Not known: no baseline was kept."));
    Markup body = element("p", "lead", said(card, *seen)) + lines_of_device(seen->rows);
    body += seen->faults.empty()
                ? element("p", "", seen->alarms_known ? "No alarm named it." : "Alarms: not known.")
                : element("p", "lead", "Fault lines") + lines_of_device(seen->faults);
    return box(heading, body);
}

} // namespace

std::string to_page(const Card& card) {
    Markup body = page_head(card);
    body += card.now ? now_box(card) : element("p", "word", element("b", "", outcome_of(card)));
    const Markup alerts = list_of(card, card.alerts);
    body += box("Calls and stops", alerts.empty() ? element("p", "", "None.") : alerts);
    body += box("Seen to be lost", list_of(card, card.losses));
    body += box("What people did beside the steps",
                element("ul", "", items_of(beside_the_steps(card))));
    if (const auto accepted = accepted_in(card); !accepted.empty())
        body += box("Accepted before the work", element("ul", "", items_of(accepted)));
    body += box("Cooling", list_of(card, card.cooling));
    body += table_of(card, card.steps);
    body += box("The way back", table_of(card, card.way_back));
    if (card.work_slot)
        body += part_box("The part in the baseline", card, card.before) +
                part_box("The part last", card, card.newest);
    body += box("What is not as it was before the work",
                element("p", "", handback_of(card)) +
                    (card.handback && card.handback->baseline
                         ? element("ul", "", items_of(handed_back(card)))
                         : Markup{}));
    if (const auto counts = counted(card); !counts.empty())
        body += box("In figures", element("ul", "", items_of(counts)));
    body += element("footer", "", foot_of(card) + " Times are UTC.");
    return sheet::paper(card.opened.title + " – " + card.chassis, body);
}

} // namespace slotwitness::card
