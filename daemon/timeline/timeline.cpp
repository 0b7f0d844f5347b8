#include "timeline.hpp"

#include "grounds.hpp"

#include <algorithm>
#include <array>
#include <iterator>
#include <utility>

namespace slotwitness::timeline {

namespace {

using namespace witness;
using state::Kind;

/// What stands in a slot or passes traffic between them. Ports, sensors and alarms are too many to
/// be looked over as bars.
constexpr std::array drawn{Kind::plane, Kind::controller, Kind::module, Kind::fan_tray,
                           Kind::power_supply};

/// A gate, or a word, lasts until another is told.
constexpr units::Duration lasts = units::Duration::max();

bool is_drawn(Kind kind) {
    return std::ranges::find(drawn, kind) != drawn.end();
}

/// Whether an answer that reads so may tell of a part.
bool tells_of_parts(const state::Reading& reading) {
    return std::ranges::any_of(reading.lists, is_drawn) ||
           std::ranges::any_of(reading.rows, is_drawn, &state::Row::kind);
}

TrackName track_of(const Component& component) {
    return {std::string(state::to_word(component.kind)), component.name};
}

std::string_view state_of(const GateFinding& finding) {
    if (finding.standing)
        return to_word(*finding.standing);
    return to_word(finding.verdict);
}

bool is_refused(const std::vector<Finding>& findings) {
    return std::ranges::any_of(findings, [](const Finding& finding) {
        return std::holds_alternative<ProcedureRefused>(finding);
    });
}

std::optional<std::string> label_in(const View& view, const Component& component) {
    auto told = view.fact(component, state::Attribute::label, Trust::whole_answers);
    auto* text = told.value ? std::get_if<std::string>(&*told.value) : nullptr;
    return text != nullptr ? std::optional(std::move(*text)) : std::nullopt;
}

std::optional<units::Decimal> celsius_in(const View& view, const Component& sensor,
                                         state::Attribute attribute) {
    const auto told = view.fact(sensor, attribute, Trust::whole_answers);
    const auto* quantity = told.value ? std::get_if<units::Quantity>(&*told.value) : nullptr;
    if (quantity == nullptr || quantity->unit != units::Unit::celsius)
        return std::nullopt;
    return quantity->value;
}

/// What an event is as a mark; nothing: it is none.
struct ToMark {
    template <class Other>
    std::optional<Mark> operator()(const Other&) const {
        return std::nullopt;
    }
    std::optional<Mark> operator()(const RunStarted&) const {
        return Mark{{}, "the daemon began anew", "", "", "", ""};
    }
    std::optional<Mark> operator()(const ProcedureOpened& opened) const {
        return Mark{{}, "opened", opened.id, "", opened.by, ""};
    }
    std::optional<Mark> operator()(const StepReleased& released) const {
        return step("released", released.act);
    }
    std::optional<Mark> operator()(const StepConfirmed& confirmed) const {
        Mark mark = step("confirmed", confirmed.act);
        mark.on_behalf_of = confirmed.on_behalf_of;
        return mark;
    }
    std::optional<Mark> operator()(const StepUnconfirmed& taken_back) const {
        return step("confirmation taken back", taken_back.act);
    }
    std::optional<Mark> operator()(const StepTriedAgain& tried) const {
        return step("asked again", tried.act);
    }
    std::optional<Mark> operator()(const StepForced& forced) const {
        return step(forced.skipped ? "skipped" : "forced", forced.act);
    }
    std::optional<Mark> operator()(const ChassisNamed& named) const {
        return Mark{{}, "chassis serial read", named.procedure, "", named.by, named.on_behalf_of};
    }
    std::optional<Mark> operator()(const StopAnswered& answered) const {
        return Mark{{}, "stop answered", answered.procedure, answered.name, answered.by, ""};
    }
    std::optional<Mark> operator()(const DifferenceWaived& waived) const {
        return Mark{{}, "waived", waived.procedure, "", waived.by, ""};
    }
    std::optional<Mark> operator()(const BackOutBegun& begun) const {
        return Mark{{}, "way back begun", begun.procedure, "", begun.by, ""};
    }
    std::optional<Mark> operator()(const ShiftTaken& taken) const {
        return Mark{{}, "shift taken", taken.procedure, "", taken.by, ""};
    }
    std::optional<Mark> operator()(const ProcedureClosed& closed) const {
        return Mark{{}, "closed", closed.procedure, "", closed.by, ""};
    }
    static Mark step(std::string what, const StepAct& act) {
        return {{}, std::move(what), act.procedure, act.step, act.by, ""};
    }
};

} // namespace

Timeline::Timeline(units::Duration gap, Bounds bounds)
    : gap_(gap), bounds_(bounds), tracks_(bounds.spans) {}

void Timeline::take(const Event& event, const std::vector<Finding>& findings) {
    if (!began_)
        began_ = event.at;
    if (const auto* run = std::get_if<RunStarted>(&event.what))
        begin_anew(event.at, *run);
    if (const auto* answer = std::get_if<Answered>(&event.what))
        look(event.at, *answer);
    if (const auto* failed = std::get_if<Failed>(&event.what))
        fail(*failed);
    if (!is_refused(findings))
        note(event.at, event);
    for (const Finding& finding : findings)
        std::visit([&](const auto& one) { find(event.at, one); }, finding);
}

/// Of the time before it stays which parts there were, and are to be missed.
void Timeline::begin_anew(Instant at, const RunStarted& run) {
    for (const Kind kind : drawn)
        if (const auto stated = run.inventory.find(kind); stated != run.inventory.end())
            for (const std::string& name : stated->second) {
                Part& part = parts_[{kind, name}];
                part.component = {kind, name};
                part.at = part.valid_until = at;
            }
    lose("Nobody has looked since the daemon began.");
}

void Timeline::lose(const std::string& why) {
    for (auto& [component, part] : parts_) {
        tracks_.end(track_of(component));
        part.told = {Condition::unknown, why};
        part.asking.clear();
    }
}

void Timeline::fail(const Failed& failed) {
    for (auto& [component, part] : parts_)
        if (part.asking == failed.asking) {
            tracks_.end(track_of(component));
            part.told = {Condition::unknown, "The last look brought no answer: " + failed.remark};
        }
}

void Timeline::look(Instant at, const Answered& answer) {
    const Heard heard = heard_from(answer);
    if (!sensors_.empty())
        warm(at, View({heard}, {}));
    if (!tells_of_parts(*heard.reading)) {
        judged_.erase(answer.asking);
        return; // of ports and sensors there is much, and nothing of it is kept
    }
    Judged& judged = judged_[answer.asking];
    const bool certain = heard.whole && heard.reading->wholly_read();
    auto grounds = certain ? std::optional(grounds_of(*heard.reading)) : std::nullopt;
    if (!certain || judged.grounds != grounds || judged.parts != parts_.size()) {
        judged.said = judge(View({heard}, {}));
        judged.grounds = std::move(grounds);
    }
    for (const Said& said : judged.said)
        tell(at, answer.asking, said);
    judged.parts = parts_.size();
}

std::vector<Timeline::Said> Timeline::judge(const View& view) const {
    std::vector<Said> all;
    const auto say = [&](const Component& component) {
        all.push_back({component, told_by(view, component), label_in(view, component)});
    };
    for (const Kind kind : drawn) {
        const auto listed = view.listed(kind);
        for (const std::string& name : listed)
            say({kind, name});
        if (!view.is_asked_to_list(kind))
            continue;
        for (auto known = parts_.lower_bound({kind, ""});
             known != parts_.end() && known->first.kind == kind; ++known)
            if (!listed.contains(known->first.name))
                say(known->first);
    }
    return all;
}

void Timeline::tell(Instant at, const std::string& asking, const Said& said) {
    if (parts_.size() >= bounds_.parts && !parts_.contains(said.component))
        return;
    Part& part = parts_[said.component];
    part.component = said.component;
    part.told = said.told;
    part.asking = asking;
    part.at = at;
    part.valid_until = at + gap_;
    if (said.label)
        part.label = *said.label;
    tracks_.tell(track_of(said.component), to_word(said.told.condition), at, gap_);
}

void Timeline::warm(Instant at, const View& view) {
    for (Watched& sensor : sensors_) {
        const Component component{Kind::sensor, sensor.name};
        if (const auto stated = celsius_in(view, component, state::Attribute::limit);
            stated && sensor.as_stated)
            sensor.hottest = stated;
        const auto celsius = celsius_in(view, component, state::Attribute::reading);
        if (!celsius)
            continue;
        sensor.looks.push_back({at, *celsius});
        if (sensor.looks.size() > bounds_.looks)
            sensor.looks.erase(sensor.looks.begin(),
                               sensor.looks.end() - static_cast<std::ptrdiff_t>(bounds_.looks / 2));
    }
}

void Timeline::note(Instant at, const Event& event) {
    if (const auto* opened = std::get_if<ProcedureOpened>(&event.what);
        opened && opened->cooling && !opened->cooling->warm.empty()) {
        sensors_.clear(); // one procedure is under way on a chassis
        for (const WarmPlan& plan : opened->cooling->warm)
            if (sensors_.size() < bounds_.sensors)
                sensors_.push_back({plan.sensor, opened->id, plan.hottest, {}, !plan.hottest});
    }
    if (auto made = std::visit(ToMark(), event.what)) {
        made->at = at;
        mark(std::move(*made));
    }
}

void Timeline::mark(Mark mark) {
    marks_.push_back(std::move(mark));
    if (marks_.size() <= bounds_.marks)
        return;
    marks_dropped_until_ = marks_.front().at;
    marks_.pop_front();
}

void Timeline::find(Instant at, const GateFinding& finding) {
    const TrackName track{"gate", finding.id};
    tracks_.tell(track, state_of(finding), at, lasts);
    if (finding.retired)
        tracks_.end(track);
}

void Timeline::find(Instant at, const ProcedureFinding& finding) {
    const TrackName track{"procedure", finding.id};
    tracks_.tell(track, to_word(finding.word), at, lasts);
    if (finding.phase == Phase::closed)
        tracks_.end(track);
}

void Timeline::find(Instant at, const SwitchedOver& finding) {
    mark({at, "switchover to " + finding.to, "", "", "", ""});
}

void Timeline::find(Instant, const CoolingFinding& finding) {
    if (!finding.began)
        return;
    const auto known = std::ranges::find_if(clocks_, [&](const CoolingFinding& clock) {
        return clock.procedure == finding.procedure && clock.began == finding.began;
    });
    if (known != clocks_.end()) {
        *known = finding;
        return;
    }
    clocks_.push_back(finding);
    if (clocks_.size() > bounds_.clocks)
        clocks_.pop_front();
}

std::string Timeline::label_at(std::string_view slot) const {
    const auto part = std::ranges::find_if(parts_, [&](const auto& each) {
        return each.first.name == slot && !each.second.label.empty();
    });
    return part != parts_.end() ? part->second.label : "";
}

Shown Timeline::shown() const {
    Shown shown;
    shown.since = began_;
    for (const auto& dropped : {tracks_.dropped_until(), marks_dropped_until_})
        if (shown.since && dropped)
            shown.since = std::max(*shown.since, *dropped);
    shown.tracks = tracks_.shown();
    for (const auto& [component, part] : parts_)
        shown.parts.push_back(part);
    shown.clocks.assign(clocks_.begin(), clocks_.end());
    shown.marks.assign(marks_.begin(), marks_.end());
    std::ranges::copy_if(sensors_, std::back_inserter(shown.sensors),
                         [](const Watched& sensor) { return sensor.hottest.has_value(); });
    return shown;
}

} // namespace slotwitness::timeline
