#include "print.hpp"
#include "said.hpp"

#include <slotwitness/journal/codec.hpp>

#include <nlohmann/json.hpp>

namespace slotwitness::card {

namespace {

using nlohmann::json;

json optional_time(const std::optional<Instant>& at) {
    return at ? json(units::to_rfc3339(*at)) : json();
}
json optional_text(const std::string& text) {
    return text.empty() ? json() : json(text);
}
json optional_text(const std::optional<std::string>& text) {
    return text ? json(*text) : json();
}

template <class Things, class Write>
json array_of(const Things& things, Write write) {
    json all = json::array();
    for (const auto& thing : things)
        all.push_back(write(thing));
    return all;
}

json write_deed(const Deed& deed) {
    return {{"at", units::to_rfc3339(deed.at)},
            {"did", to_word(deed.kind)},
            {"of", optional_text(deed.of)},
            {"by", deed.by},
            {"on_behalf_of", optional_text(deed.on_behalf_of)},
            {"reason", optional_text(deed.reason)}};
}

json write_alert(const Alert& alert) {
    return {{"word", to_word(alert.word)},
            {"step", optional_text(alert.step)},
            {"text", alert.text},
            {"began", units::to_rfc3339(alert.began)},
            {"ended", optional_time(alert.ended)}};
}

json write_loss(const Loss& loss) {
    return {{"at", units::to_rfc3339(loss.at)},
            {"of", to_word(loss.of)},
            {"name", optional_text(loss.name)},
            {"because", loss.text},
            {"lines", array_of(loss.cites, [](const witness::Cite& cite) {
                 return json{{"query", cite.asking},
                             {"capture", cite.capture},
                             {"line", cite.at.line},
                             {"text", cite.text}};
             })}};
}

json write_run(const CoolingRun& run) {
    return {{"began", units::to_rfc3339(run.began)},
            {"ended", optional_time(run.ended)},
            {"limit", optional_time(run.limit)},
            {"shortened", optional_text(run.shortened)},
            {"passed", run.passed}};
}

json write_line(const Line& line) {
    return {{"query", line.asking},
            {"capture", line.capture},
            {"line", line.line},
            {"text", line.text}};
}

json write_seen(const std::optional<Seen>& seen) {
    if (!seen)
        return {};
    return {{"device", to_word(seen->listing)},
            {"answered", optional_time(seen->answered)},
            {"serial", optional_text(seen->serial)},
            {"part", optional_text(seen->part)},
            {"revision", optional_text(seen->revision)},
            {"contradicting", seen->disagree},
            {"alarms_known", seen->alarms_known},
            {"lines", array_of(seen->rows, write_line)},
            {"faults", array_of(seen->faults, write_line)}};
}

json write_gate(const std::optional<witness::GateFinding>& gate) {
    return gate ? journal::to_json(*gate) : json();
}

json write_step(const StepLine& line) {
    json step = journal::to_json(line.finding);
    step["name"] = line.plan.name;
    step["number"] = line.number;
    step["actor"] = line.plan.technician ? "technician" : "engineer";
    step["act"] = line.plan.act;
    step["fact"] = write_gate(line.fact);
    step["effect"] = write_gate(line.effect);
    step["passed_over"] = array_of(line.passed_over, write_deed);
    return step;
}

json write_now(const std::optional<Now>& now) {
    if (!now)
        return {};
    json advice;
    if (now->advice)
        advice = {{"first", now->advice->first}, {"say", now->advice->say}};
    return {
        {"phase", to_word(now->phase)},
        {"word", to_word(now->word)},
        {"text", now->text},
        {"advice", std::move(advice)},
        {"step", now->step ? json(now->step->plan.name) : json()},
        {"waits_for", now->waits_for},
        {"out",
         array_of(
             now->out,
             [](const Out& out) {
                 return json{{"what", out.what}, {"people", out.people}, {"device", out.device}};
             })},
        {"cooling_since", optional_time(now->cooling_since)},
        {"cooling_limit", optional_time(now->cooling_limit)},
        {"turn_back", optional_time(now->turn_back)}};
}

} // namespace

json to_json(const Card& card) {
    const witness::ProcedureOpened& opened = card.opened;
    json slot;
    if (card.work_slot)
        slot = {{"kind", state::to_word(card.work_slot->kind)}, {"name", card.work_slot->name}};
    return {{"as_of", units::to_rfc3339(card.as_of)},
            {"id", opened.id},
            {"title", opened.title},
            {"chassis", card.chassis},
            {"serial", card.chassis_serial ? json(card.chassis_serial->text) : json()},
            {"at_the_rack", card.at_the_rack ? journal::to_json(*card.at_the_rack) : json()},
            {"right_part", card.right_part ? journal::to_json(*card.right_part) : json()},
            {"accepted", array_of(opened.handback.accepted,
                                  [](const auto& each) { return journal::to_json(each); })},
            {"handback", card.handback ? journal::to_json(*card.handback) : json()},
            {"arguments", opened.arguments},
            {"work_slot", std::move(slot)},
            {"ticket", optional_text(opened.ticket)},
            {"window", optional_text(opened.window)},
            {"approver", optional_text(opened.approver)},
            {"opened", units::to_rfc3339(card.finding.opened)},
            {"opened_by", opened.by},
            {"in_charge", card.finding.in_charge},
            {"closed", optional_time(card.finding.closed)},
            {"outcome", card.finding.outcome ? json(to_word(*card.finding.outcome)) : json()},
            {"now", write_now(card.now)},
            {"alerts", array_of(card.alerts, write_alert)},
            {"losses", array_of(card.losses, write_loss)},
            {"deeds", array_of(card.deeds, write_deed)},
            {"restarts",
             array_of(card.restarts, [](Instant at) { return json(units::to_rfc3339(at)); })},
            {"switchovers", array_of(card.switchovers,
                                     [](const Switchover& each) {
                                         return json{{"at", units::to_rfc3339(each.at)},
                                                     {"of", to_word(each.what.of)},
                                                     {"from", each.what.from},
                                                     {"to", each.what.to}};
                                     })},
            {"warnings", opened.warnings},
            {"cooling", array_of(card.cooling, write_run)},
            {"steps", array_of(card.steps, write_step)},
            {"way_back", array_of(card.way_back, write_step)},
            {"baseline", optional_time(card.baseline)},
            {"before", write_seen(card.before)},
            {"newest", write_seen(card.newest)}};
}

} // namespace slotwitness::card
