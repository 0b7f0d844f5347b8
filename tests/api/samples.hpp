#pragma once

#include "fake_desk.hpp"

#include <slotwitness/api/router.hpp>

namespace slotwitness::api {

/// As a connection does it, in one step.
inline Next route(const Request& request, const desk::Desk& desk) {
    return route(request, find_route(request), desk);
}
inline std::optional<Response> refused_early(const Request& request) {
    return refused_early(request, find_route(request));
}

} // namespace slotwitness::api

namespace slotwitness::api::samples {

using namespace std::chrono_literals;

/// 2026-11-25T08:00:00.000Z (date -u -d 2026-11-25T08:00:00Z +%s gives 1795593600).
inline constexpr units::Instant start{units::Duration{1'795'593'600'000}};

inline const std::string wait_request =
    "GET /v1/gates/g7 HTTP/1.1\r\nHost: localhost\r\nPrefer: wait=60\r\n\r\n";

inline desk::GateView pending_gate() {
    desk::GateView view;
    view.chassis = "core1";
    view.opened_by = "127.0.0.1";
    view.revision = 4;
    view.finding.id = "g7";
    view.finding.sentence = "plane 3 shut for 10 s within 5 min";
    view.finding.truth = witness::Truth::yes;
    view.finding.because = {
        witness::Reason::holding, "the device reports plane 3 locked and disabled", {}};
    view.finding.opened = start - 20s;
    view.finding.deadline = start + 280s;
    view.finding.last_look = witness::Look{start - 2s, start - 1s};
    view.finding.held = 4s;
    view.finding.needs = 10s;
    view.finding.valid_until = start + 30s;
    return view;
}

inline state::Row row(state::Kind kind, std::string name, std::size_t line, std::string text,
                      state::Facts facts) {
    return {kind, std::move(name), {line, 1}, std::move(text), std::move(facts)};
}

inline desk::ChassisView chassis() {
    using state::Attribute;
    using state::Kind;
    desk::ChassisView view;
    view.name = "core1";
    view.family = "quillon";
    view.session = desk::Session::connected;
    view.serial = "QN4417A";
    view.last_answer = start - 1s;
    view.valid_until = start + 20s;
    view.faces[profiles::Side::rear] = {{{"TRAY1", "FAN A"}}, {{"FAB3", ""}, {"", ""}}};
    view.gates_pending = 1;
    const auto add = [&](state::Row row) {
        view.components.push_back(
            {std::move(row), "inventory", std::string(64, 'a'), start - 1s, true});
    };
    add(row(Kind::chassis, "QX-8", 1, "QX-8 serial QN4417A",
            {{Attribute::serial, {std::string{"QN4417A"}, {1, 13}}}}));
    add(row(Kind::plane, "3", 4, "3  locked  stopped",
            {{Attribute::admin, {state::AdminState::locked, {4, 4}}},
             {Attribute::oper, {state::OperState::disabled, {4, 12}}}}));
    add(row(Kind::module, "FAB3", 6, "FAB3  live  serves 3",
            {{Attribute::admin, {state::AdminState::unlocked, {6, 7}}},
             {Attribute::oper, {state::OperState::enabled, {6, 7}}},
             {Attribute::serial, {std::string{"FB00912"}, {6, 1}}},
             {Attribute::part, {std::string{"QF-400"}, {6, 1}}},
             {Attribute::hardware_rev, {std::string{"B2"}, {6, 1}}},
             {Attribute::serves, {state::Names{"3"}, {6, 20}}}}));
    add(row(Kind::controller, "CTL0", 7, "CTL0  live  in charge",
            {{Attribute::oper, {state::OperState::enabled, {7, 7}}},
             {Attribute::standby, {state::StandbyState::providing_service, {7, 13}}}}));
    add(row(Kind::fan_tray, "TRAY1", 8, "TRAY1  what?",
            {{Attribute::oper, {state::Unknown{}, {8, 8}}}}));
    add(row(Kind::sensor, "inlet", 9, "inlet  23.5 C",
            {{Attribute::reading,
              {units::Quantity{*units::Decimal::parse("23.5"), units::Unit::celsius}, {9, 8}}}}));
    add(row(Kind::alarm, "17", 10, "17  major  FAB3 unseated",
            {{Attribute::severity, {state::Severity::major, {10, 5}}},
             {Attribute::text, {std::string{"FAB3 unseated"}, {10, 12}}}}));
    view.unread = {{12, "!! table busy", 1, "a plane number"}};
    view.unread_lines = view.unread.size();
    view.remarks = {{{8, 8}, "\"what?\" is no declared word"}};
    return view;
}

/// An answer of three rows, of which the terminal added one, and of which one nobody reads.
inline desk::AnswerView answer() {
    desk::AnswerView view;
    view.asking = "inventory";
    view.capture = std::string(64, 'a');
    view.asked = start - 2s;
    view.answered = start - 1s;
    view.ending = {true, 0, ""};
    view.bytes = std::make_shared<const std::string>(
        "PLANE  STATE\n-- more --\n3\xc3\xa9  locked\n!! \x1b busy\n");
    state::Reading reading;
    reading.whole = true;
    reading.rows = {{state::Kind::plane,
                     "3\xc3\xa9",
                     {3, 1},
                     "3\xc3\xa9  locked",
                     {{state::Attribute::admin, {state::AdminState::locked, {3, 6}}}}}};
    reading.set_aside = {{2, "pager"}};
    reading.unread = {{4, "!! \x1b busy", 4, "a plane number"}};
    reading.remarks = {{{3, 6}, "\"locked\" stands for locked"}};
    view.reading = std::make_shared<const state::Reading>(std::move(reading));
    return view;
}

/// Plane 3 was shut and is seen no more; tray TRAY2 is out, and a sensor warms.
inline desk::TimelineView timeline_view() {
    desk::TimelineView view;
    timeline::Shown& shown = view.shown;
    shown.since = start - 600s;
    shown.tracks = {
        {{"plane", "3"},
         {{start - 500s, start - 300s, "operational"}, {start - 298s, start - 100s, "shut"}},
         false},
        {{"gate", "g7"}, {{start - 20s, start - 1s, "pending"}}, true}};
    shown.parts = {{{state::Kind::plane, "3"},
                    "REAR 3",
                    {timeline::Condition::unknown, "The last look brought no answer."},
                    "planes",
                    start - 100s,
                    start - 10s}};
    witness::CoolingFinding clock;
    clock.procedure = "p1";
    clock.began = start - 60s;
    clock.limit = start + 540s;
    shown.clocks = {clock};
    shown.marks = {{start - 70s, "released", "p1", "pull-tray", "A. Person", ""}};
    shown.sensors = {{"FAB4-core",
                      "p1",
                      *units::Decimal::parse("92"),
                      {{start - 2s, *units::Decimal::parse("61.5")}}}};
    view.outlooks = {{"p1", "FAB4-core", {{start - 2s, 61.1, 61.504, 62}}}};
    return view;
}

/// Step "pull-tray" may be done: it is released, at revision 3.
inline desk::ProcedureView procedure() {
    desk::ProcedureView view;
    view.chassis = "core1";
    view.revision = 8;
    witness::ProcedureOpened& opened = view.record.opened;
    opened.id = "p1";
    opened.title = "Replace a fan tray";
    opened.by = "127.0.0.1";
    opened.arguments = {{"tray", "TRAY2"}};
    witness::StepPlan step;
    step.name = "pull-tray";
    step.technician = true;
    step.act = "Pull fan tray TRAY2.";
    step.cautions = {"WARNING: blades turn."};
    step.if_wrong = {"put back", "Seat the tray again."};
    step.fact.sentence = "every fan-tray except TRAY2 operational for 10 s within 5 min";
    opened.steps = {step};
    opened.rules = {{"others", "Every other fan tray works", {}, "", "", {}}};
    witness::ProcedureFinding& finding = view.record.finding;
    finding.id = "p1";
    finding.title = opened.title;
    finding.step = "pull-tray";
    finding.word = witness::Word::state_met;
    finding.text = "The device reports operational for every fan tray judged.";
    finding.opened = start - 60s;
    finding.valid_until = start + 30s;
    witness::StepFinding& told = view.record.steps["pull-tray"];
    told.procedure = "p1";
    told.name = "pull-tray";
    told.revision = 3;
    told.stage = witness::Stage::released;
    told.code = finding.code = "K7F";
    return view;
}

inline void fill(FakeDesk& desk) {
    desk.time = start;
    desk.chassis_shown = {chassis()};
    desk.answers_shown = {answer()};
    desk.timeline_shown = timeline_view();
    desk.gates_shown = {pending_gate()};
    desk.procedures_shown = {procedure()};
}

inline Request request(Method method, std::string path, std::vector<Field> fields = {},
                       std::string body = {}) {
    Request made;
    made.method = method;
    made.path = std::move(path);
    made.fields = std::move(fields);
    made.body = std::move(body);
    made.peer = "127.0.0.1";
    made.asker.name = made.peer;
    return made;
}

} // namespace slotwitness::api::samples
