#include "driven.hpp"

#include "story.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::oracle {
namespace {

// Any instant will do; this one is far enough from zero that a forgotten offset would show.
constexpr Time zero = 1'764'061'200'000;

std::string id_of(std::size_t gate) {
    return "gate-" + std::to_string(gate);
}

std::string key(Asking asking) {
    return subjects[asking].asking;
}

state::Kind kind_of(Asking asking) {
    return state::from_word<state::Kind>(subjects[asking].kind).value();
}

state::Row row(const Event& event, state::Value oper, std::size_t line) {
    state::Row made;
    made.kind = kind_of(event.asking);
    made.name = subjects[event.asking].name;
    made.at = {line, 1};
    made.text = made.name + "  " + state::to_text(oper);
    made.facts[state::Attribute::oper] = {std::move(oper), {line, 4}};
    if (event.flaps) {
        const units::Quantity flaps{units::Decimal::of(*event.flaps, 0).value(), units::Unit::none};
        made.facts[state::Attribute::flaps] = {flaps, {line, 12}};
    }
    if (event.identity)
        made.facts[state::Attribute::serial] = {"Q" + std::to_string(*event.identity), {line, 15}};
    if (event.count) {
        const units::Quantity errors{units::Decimal::of(*event.count, 0).value(),
                                     units::Unit::none};
        made.facts[state::Attribute::errors] = {errors, {line, 20}};
    }
    return made;
}

/// An answer that makes the subject's predicate what the event says. The ways to be unknown take
/// turns.
std::shared_ptr<const state::Reading> reading_of(const Event& event) {
    const bool wants_up = std::string_view(subjects[event.asking].predicate) == "oper enabled";
    const state::OperState yes = wants_up ? state::OperState::enabled : state::OperState::disabled;
    const state::OperState no = wants_up ? state::OperState::disabled : state::OperState::enabled;
    auto reading = std::make_shared<state::Reading>();
    reading->whole = event.whole;
    reading->lists = {kind_of(event.asking)};
    switch (event.fact) {
    case Truth::yes:
        reading->rows = {row(event, yes, 2)};
        break;
    case Truth::no:
        reading->rows = {row(event, event.round % 2 == 0 ? no : state::OperState::testing, 2)};
        break;
    case Truth::unknown:
        // Two rows that disagree would make all of it unknown, also what it tells beside the fact.
        switch (event.round % 4 == 2 && (event.identity || event.count) ? 0 : event.round % 4) {
        case 0:
            reading->rows = {row(event, state::OperState::unknown, 2)};
            break;
        case 1:
            reading->rows = {row(event, state::Unknown{}, 2)};
            break;
        case 2:
            reading->rows = {row(event, yes, 2), row(event, no, 3)};
            break;
        default:
            reading->rows = {row(event, yes, 2)};
            reading->rows.front().facts.erase(state::Attribute::oper);
        }
        break;
    }
    return reading;
}

Standing from(witness::Standing standing) {
    switch (standing) {
    case witness::Standing::met:
        return Standing::met;
    case witness::Standing::settling:
        return Standing::settling;
    case witness::Standing::lost:
        return Standing::lost;
    case witness::Standing::unseen:
        return Standing::unseen;
    }
    return Standing::unseen;
}

} // namespace

Verdict from(witness::Verdict verdict) {
    switch (verdict) {
    case witness::Verdict::pending:
        return Verdict::pending;
    case witness::Verdict::pass:
        return Verdict::pass;
    case witness::Verdict::fail:
        return Verdict::fail;
    case witness::Verdict::cancelled:
        return Verdict::cancelled;
    }
    return Verdict::pending;
}

witness::Instant instant(Time at) {
    return witness::Instant{units::Duration{zero + at}};
}
Time time(witness::Instant at) {
    return at.time_since_epoch().count() - zero;
}
std::vector<std::string> keys(const std::vector<Asking>& askings) {
    std::vector<std::string> all;
    for (const Asking asking : askings)
        all.push_back(key(asking));
    std::ranges::sort(all);
    all.erase(std::unique(all.begin(), all.end()), all.end());
    return all;
}

Truth from(witness::Truth truth) {
    switch (truth) {
    case witness::Truth::no:
        return Truth::no;
    case witness::Truth::unknown:
        return Truth::unknown;
    case witness::Truth::yes:
        return Truth::yes;
    }
    return Truth::unknown;
}

Driven::Driven(std::vector<Gate> gates, std::vector<std::string> sentences)
    : gates_(std::move(gates)), sentences_(std::move(sentences)) {}

witness::Event told_by_device(const Event& event) {
    witness::Event made{instant(event.at), witness::Tick{}};
    switch (event.what) {
    case Happening::opened:
    case Happening::closed:
    case Happening::baseline_wanted:
    case Happening::tick:
        break;
    case Happening::run_started: {
        witness::RunStarted run;
        run.boot_id = event.elapsed_known ? "first boot" : "another boot";
        run.boottime_ms = event.at;
        run.wall_ms = zero + event.at;
        run.offset_ms = zero;
        run.wall_synchronised = event.elapsed_known;
        run.elapsed_known = event.elapsed_known;
        for (Asking asking = 0; asking < static_cast<Asking>(std::size(subjects)); ++asking)
            run.inventory[kind_of(asking)] = {subjects[asking].name};
        made.what = std::move(run);
        break;
    }
    case Happening::round_started:
        made.what = witness::RoundStarted{static_cast<witness::RoundNumber>(event.round),
                                          keys(event.askings)};
        break;
    case Happening::answered: {
        witness::Answered answered;
        answered.round = static_cast<witness::RoundNumber>(event.round);
        answered.asking = key(event.asking);
        answered.asked = instant(event.asked);
        answered.capture = std::string(64, 'a');
        answered.ending.ended = event.whole;
        if (event.whole)
            answered.ending.exit_status = 0;
        answered.reading = reading_of(event);
        made.what = std::move(answered);
        break;
    }
    case Happening::failed:
        made.what =
            witness::Failed{static_cast<witness::RoundNumber>(event.round), key(event.asking),
                            instant(event.asked), witness::NoAnswer::timed_out, "timed out"};
        break;
    }
    return made;
}

witness::Event Driven::translate(const Event& event) const {
    witness::Event made = told_by_device(event);
    if (event.what == Happening::opened) {
        const Gate& gate = gates_.at(event.gate);
        witness::GateOpened opened;
        opened.id = id_of(event.gate);
        opened.sentence = sentences_.at(event.gate);
        opened.askings = keys(gate.needs);
        opened.gap = units::Duration{gate.gap};
        opened.refresh = units::Duration{gate.refresh};
        opened.guard = units::Duration{gate.guard};
        opened.by = "engineer";
        made.what = std::move(opened);
    }
    if (event.what == Happening::baseline_wanted)
        made.what = witness::BaselineWanted{keys(event.askings), "engineer"};
    if (event.what == Happening::closed)
        made.what = witness::GateClosed{id_of(event.gate), "engineer"};
    return made;
}

void Driven::step(const Event& event) {
    const witness::Outcome outcome = witness_.step(translate(event));
    for (const witness::Finding& finding : outcome.findings) {
        if (const auto* gate = std::get_if<witness::GateFinding>(&finding))
            newest_.insert_or_assign(gate->id, *gate);
        else if (const auto* refused = std::get_if<witness::GateRefused>(&finding))
            refused_[refused->id] = state::to_text(refused->problem);
        else if (const auto* missed = std::get_if<witness::RoundMissed>(&finding))
            for (const std::string& gate : missed->gates)
                missed_[gate].insert(static_cast<int>(missed->round));
    }
    next_due_ = outcome.next_due ? std::optional(time(*outcome.next_due)) : std::nullopt;
}

const witness::GateFinding* Driven::finding(std::size_t gate) const {
    const auto found = newest_.find(id_of(gate));
    return found == newest_.end() ? nullptr : &found->second;
}

std::optional<std::string> Driven::refused(std::size_t gate) const {
    const auto found = refused_.find(id_of(gate));
    return found == refused_.end() ? std::nullopt : std::optional(found->second);
}

std::set<int> Driven::missed(std::size_t gate) const {
    const auto found = missed_.find(id_of(gate));
    return found == missed_.end() ? std::set<int>{} : found->second;
}

Said Driven::said(std::size_t gate, Time now) const {
    Said said;
    const witness::GateFinding* newest = finding(gate);
    if (!newest)
        return said;
    said.open = true;
    said.verdict = from(newest->verdict);
    if (newest->failure)
        said.failure = *newest->failure == witness::Failure::not_seen ? Failure::not_seen
                                                                      : Failure::seen_false;
    if (newest->decided)
        said.decided = time(*newest->decided);
    if (newest->standing)
        said.standing = from(*newest->standing);
    said.truth = from(newest->truth);
    said.held = newest->held.count();
    said.retired = newest->retired;
    if (!said.retired && instant(now) > newest->valid_until) {
        said.truth = Truth::unknown;
        if (said.standing)
            said.standing = Standing::unseen;
    }
    return said;
}

} // namespace slotwitness::oracle
