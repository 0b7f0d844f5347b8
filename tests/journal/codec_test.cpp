#include "generators.hpp"

#include <slotwitness/journal/chain.hpp>
#include <slotwitness/journal/codec.hpp>
#include <slotwitness/witness/witness.hpp>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <concepts>
#include <tuple>

namespace slotwitness::journal {

namespace w = witness;
using nlohmann::json;

namespace {

auto fields(const w::RunStarted& v) {
    return std::tie(v.boot_id, v.boottime_ms, v.wall_ms, v.wall_synchronised, v.offset_ms,
                    v.elapsed_known, v.profile, v.inventory, v.peak_load);
}
auto fields(const w::RoundStarted& v) {
    return std::tie(v.round, v.askings);
}
auto fields(const w::Answered& v) {
    return std::tie(v.round, v.asking, v.asked, v.capture, v.ending.ended, v.ending.exit_status,
                    v.ending.remark, v.ending.proven);
}
auto fields(const w::Failed& v) {
    return std::tie(v.round, v.asking, v.asked, v.why, v.remark);
}
auto fields(const w::GateOpened& v) {
    return std::tie(v.id, v.sentence, v.askings, v.gap, v.refresh, v.guard, v.by,
                    v.idempotency_key);
}
auto fields(const w::GateClosed& v) {
    return std::tie(v.id, v.by);
}
auto fields(const w::BaselineWanted& v) {
    return std::tie(v.askings, v.by);
}
auto fields(const w::Tick&) {
    return std::tuple<>();
}
auto fields(const w::GateRefused& v) {
    return std::tie(v.id, v.problem.where, v.problem.at, v.problem.found, v.problem.expected,
                    v.problem.remedy);
}

auto fields(const w::ProcedureRefused& v) {
    return std::tie(v.procedure, v.problem.where, v.problem.at, v.problem.found, v.problem.expected,
                    v.problem.remedy);
}

bool same(const w::Finding& left, const w::Finding& right) {
    return std::visit(
        []<class Left, class Right>(const Left& l, const Right& r) {
            if constexpr (!std::is_same_v<Left, Right>)
                return false;
            else if constexpr (std::is_same_v<Left, w::GateRefused> ||
                               std::is_same_v<Left, w::ProcedureRefused>)
                return fields(l) == fields(r);
            else
                return l == r;
        },
        left, right);
}

bool same(const w::Event& left, const w::Event& right) {
    return left.at == right.at && std::visit(
                                      []<class Left, class Right>(const Left& l, const Right& r) {
                                          if constexpr (!std::is_same_v<Left, Right>)
                                              return false;
                                          else if constexpr (std::equality_comparable<Left>)
                                              return l == r;
                                          else
                                              return fields(l) == fields(r);
                                      },
                                      left.what, right.what);
}

w::GateFinding sample() {
    w::GateFinding out;
    out.id = "g1";
    out.sentence = "plane 3 shut for 10 s within 5 min";
    out.verdict = w::Verdict::fail;
    out.failure = w::Failure::not_seen;
    out.because = {
        w::Reason::no_answer, "The device was not seen.", {{"planes", "ab", {4, 1}, "3  up"}}};
    out.opened = w::Instant{w::Duration{1764060857000}};
    out.deadline = w::Instant{w::Duration{1764061157000}};
    out.held = w::Duration{2500};
    out.needs = w::Duration{10000};
    out.valid_until = w::Instant::max();
    return out;
}

std::string line_of(const json& body) {
    return next_entry("r1", Head{}, body).line;
}

/// What from_line says of the sample line after `change`.
std::string refusal(const std::function<void(json&)>& change) {
    w::Answered answer;
    answer.asking = "planes";
    json line = to_body({w::Instant{}, answer}, {sample()});
    change(line);
    const auto decoded = from_line(line.dump());
    return decoded ? "accepted" : decoded.error();
}

} // namespace

RC_GTEST_PROP(Codec, reads_back_every_event_and_finding_that_it_writes, ()) {
    const w::Event event = test::event();
    const std::vector<w::Finding> findings = test::findings();
    const auto decoded = from_line(line_of(to_body(event, findings)));
    RC_ASSERT(decoded.has_value());
    RC_ASSERT(same(decoded->event, event));
    RC_ASSERT(decoded->findings.size() == findings.size());
    for (std::size_t i = 0; i < findings.size(); ++i)
        RC_ASSERT(same(decoded->findings[i], findings[i]));
    const bool run = std::holds_alternative<w::RunStarted>(event.what);
    RC_ASSERT(decoded->semantics == (run ? w::semantics_version : 0));
}

RC_GTEST_PROP(Codec, writes_any_byte_of_a_device_as_text, (const std::string& bytes)) {
    w::GateFinding gate = sample();
    gate.because.cites[0].text = bytes;
    w::Answered answer;
    answer.ending.remark = bytes;
    const auto decoded = from_line(line_of(to_body({w::Instant{}, answer}, {gate})));
    RC_ASSERT(decoded.has_value());
    RC_ASSERT(std::get<w::GateFinding>(decoded->findings.at(0)).because.cites.at(0).text ==
              as_utf8(bytes));
    RC_ASSERT(std::get<w::Answered>(decoded->event.what).ending.remark == as_utf8(bytes));
}

TEST(Codec, names_the_types_of_events) {
    const auto type = [](decltype(w::Event::what) what) {
        const json body = to_body({w::Instant{}, std::move(what)}, {});
        return body["type"].get<std::string>();
    };
    EXPECT_EQ(type(w::RunStarted{}), "run.started");
    EXPECT_EQ(type(w::RoundStarted{}), "round.started");
    EXPECT_EQ(type(w::Answered{}), "answer");
    EXPECT_EQ(type(w::Failed{}), "look.failed");
    EXPECT_EQ(type(w::GateOpened{}), "gate.opened");
    EXPECT_EQ(type(w::GateClosed{}), "gate.closed");
    EXPECT_EQ(type(w::SessionOpened{}), "session.opened");
    EXPECT_EQ(type(w::Tick{}), "tick");
    EXPECT_EQ(type(w::ProcedureOpened{}), "procedure.opened");
    EXPECT_EQ(type(w::StepReleased{}), "step.released");
    EXPECT_EQ(type(w::StepConfirmed{}), "step.confirmed");
    EXPECT_EQ(type(w::StepUnconfirmed{}), "step.unconfirmed");
    EXPECT_EQ(type(w::StepTriedAgain{}), "step.tried_again");
    EXPECT_EQ(type(w::StepForced{}), "step.forced");
    EXPECT_EQ(type(w::StopAnswered{}), "stop.answered");
    EXPECT_EQ(type(w::BackOutBegun{}), "back_out.begun");
    EXPECT_EQ(type(w::ShiftTaken{}), "shift.taken");
    EXPECT_EQ(type(w::ForecastMade{}), "forecast.made");
    EXPECT_EQ(type(w::ProcedureClosed{}), "procedure.closed");
    EXPECT_EQ(type(w::ChassisNamed{}), "chassis.named");
}

/// The spelling is what auditors and programs outside read: it does not move by accident. The
/// instants are those of `date -u -d @1764060857` (GNU coreutils).
TEST(Codec, spells_a_gate_finding) {
    EXPECT_EQ(to_json(sample()), json::parse(R"({
        "id": "g1", "sentence": "plane 3 shut for 10 s within 5 min",
        "verdict": "fail", "failure": "not_seen", "standing": null, "truth": "unknown",
        "because": {"reason": "no_answer", "text": "The device was not seen.",
                    "cites": [{"asking": "planes", "capture": "ab", "line": 4, "column": 1, "text": "3  up"}]},
        "opened": "2025-11-25T08:54:17.000Z", "deadline": "2025-11-25T08:59:17.000Z",
        "decided": null, "last_look": null, "held_s": 2.5, "needs_s": 10,
        "guarded": false, "retired": false, "valid_until": null})"));
}

TEST(Codec, keeps_the_digest_of_a_reading_instead_of_the_reading) {
    w::Answered answer;
    auto reading = std::make_shared<state::Reading>();
    reading->rows.push_back({state::Kind::plane, "3", {4, 1}, "3  up", {}});
    answer.reading = reading;
    const auto decoded = from_line(line_of(to_body({w::Instant{}, answer}, {})));
    ASSERT_TRUE(decoded.has_value());
    EXPECT_EQ(decoded->reading_digest, digest_of(*reading));
    EXPECT_EQ(std::get<w::Answered>(decoded->event.what).reading, nullptr);
}

TEST(Codec, gives_different_readings_different_digests) {
    state::Reading reading;
    reading.rows.push_back({state::Kind::plane, "3", {4, 1}, "3  locked", {}});
    auto& fact = reading.rows[0].facts[state::Attribute::serial];
    std::vector<state::Reading> others;
    for (const state::Value& value : std::vector<state::Value>{
             state::Unknown{}, state::AdminState::locked, state::AdminState::unlocked,
             state::UsageState::unknown, std::string("locked"), state::Names{"locked"},
             units::Quantity{*units::Decimal::parse("12.5"), units::Unit::celsius},
             units::Quantity{*units::Decimal::parse("12.5"), units::Unit::watts}}) {
        fact.value = value;
        others.push_back(reading);
    }
    fact.at = {4, 9};
    others.push_back(reading);
    const auto change = [&](auto what) {
        others.push_back(reading);
        what(others.back());
    };
    change([](state::Reading& r) { r.whole = true; });
    change([](state::Reading& r) { r.lists = {state::Kind::plane}; });
    change([](state::Reading& r) { r.rows[0].kind = state::Kind::module; });
    change([](state::Reading& r) { r.rows[0].name = "4"; });
    change([](state::Reading& r) { r.rows[0].at.line = 5; });
    change([](state::Reading& r) { r.rows[0].text = "3 locked"; });
    change([](state::Reading& r) { r.rows.push_back(r.rows[0]); });
    change([](state::Reading& r) { r.unread.push_back({1, "x", 1, "y"}); });
    change([](state::Reading& r) { r.unread.push_back({1, "x", 2, "y"}); });
    change([](state::Reading& r) { r.unread.push_back({1, "x", 1, "z"}); });
    change([](state::Reading& r) { r.remarks.push_back({{1, 1}, "x"}); });
    std::set<std::string> digests;
    for (const state::Reading& other : others)
        digests.insert(digest_of(other));
    EXPECT_EQ(digests.size(), others.size());

    change([](state::Reading& r) { r.rows[0].name = "a \"b\" \\ \x01\t\xc3\xa9 \xff"; });
    change([&](state::Reading& r) { // in the order of their names, not of the attributes
        r.rows[0].facts[state::Attribute::oper] = {state::OperState::enabled, {4, 5}};
        r.rows[0].facts[state::Attribute::alarm] = {state::Names{"x", "y"}, {4, 7}};
    });
    for (const state::Reading& other : others)
        EXPECT_EQ(canonical(other), canonical(to_json(other)));
}

TEST(Codec, names_the_member_that_it_cannot_read) {
    EXPECT_EQ(refusal([](json&) {}), "accepted");
    EXPECT_EQ(refusal([](json& line) { line.erase("at"); }), "member at is missing");
    EXPECT_EQ(refusal([](json& line) { line["at"] = 5; }), "member at is not a string");
    EXPECT_EQ(refusal([](json& line) { line["at"] = "5 "; }),
              "member at is not a whole number in a string");
    EXPECT_EQ(refusal([](json& line) { line["at"] = "9223372036854775808"; }),
              "member at is not a whole number in a string");
    EXPECT_EQ(refusal([](json& line) { line["type"] = "guess"; }),
              "member type is not a type of event that this version knows");
    EXPECT_EQ(refusal([](json& line) { line["event"] = nullptr; }),
              "member event is not an object");
    EXPECT_EQ(refusal([](json& line) { line["event"]["ending"].erase("ended"); }),
              "member event.ending.ended is missing");
    EXPECT_EQ(refusal([](json& line) { line["event"]["ending"]["exit_status"] = 1LL << 40; }),
              "member event.ending.exit_status is not a whole number that fits");
    EXPECT_EQ(refusal([](json& line) { line["findings"] = 1; }), "member findings is not an array");
    EXPECT_EQ(refusal([](json& line) { line["findings"][0] = 1; }),
              "member findings[0] is not an object");
    const auto finding = [](const char* member, const json& value) {
        return refusal([&](json& line) { line["findings"][0][member] = value; });
    };
    EXPECT_EQ(finding("type", "x"),
              "member findings[0].type is not a type of finding that this version knows");
    EXPECT_EQ(finding("truth", "perhaps"),
              "member findings[0].truth is not a word that this version knows");
    EXPECT_EQ(finding("guarded", 1), "member findings[0].guarded is not true or false");
    EXPECT_EQ(finding("held_s", "1"), "member findings[0].held_s is not a number of seconds");
    EXPECT_EQ(finding("held_s", 1e300),
              "member findings[0].held_s is not a number of seconds below 2^52 milliseconds");
    for (const char* time :
         {"2026-02-30T00:00:00.000Z", "2026-01-01T24:00:00.000Z", "2026-01-01T00:00:00Z",
          "2026-01-01T00:00:00.000+00:00", "2026-01-01 00:00:00.000Z", ""})
        EXPECT_EQ(finding("opened", time),
                  "member findings[0].opened is not a time like 2026-11-25T08:54:17.000Z")
            << time;
    EXPECT_EQ(refusal([](json& line) { line["findings"][0]["because"]["cites"][0]["line"] = -1; }),
              "member findings[0].because.cites[0].line is not a whole number that fits");
    EXPECT_EQ(from_line("{").error(), "the line is not JSON");
    EXPECT_EQ(from_line("[]").error(), "the line is not an object");
}

/// As `refusal`, of a line that tells of a procedure in all of its parts.
std::string refusal_of_work(const std::function<void(json&)>& change) {
    w::StepPlan step;
    step.name = "pull";
    step.effect.emplace().askings = {"trays"};
    step.takes = w::Duration(30'000);
    w::ProcedureOpened opened;
    opened.id = "job";
    opened.arguments = {{"module", "FAB3"}};
    opened.steps = {step};
    opened.rules.emplace_back().name = "others";
    opened.cooling.emplace().tray = "TRAY2";
    json line =
        to_body({w::Instant{}, opened}, {w::ProcedureFinding{}, w::StepFinding{}, w::RuleFinding{},
                                         w::CoolingFinding{}, w::ProcedureRefused{"job", {}}});
    change(line);
    const auto decoded = from_line(line.dump());
    return decoded ? "accepted" : decoded.error();
}

TEST(Codec, names_the_member_of_a_procedure_that_it_cannot_read) {
    EXPECT_EQ(refusal_of_work([](json&) {}), "accepted");
    const auto event = [](const json::json_pointer& member, const json& value) {
        return refusal_of_work([&](json& line) { line["event"][member] = value; });
    };
    using namespace nlohmann::literals;
    EXPECT_EQ(event("/title"_json_pointer, 1), "member event.title is not a string");
    EXPECT_EQ(event("/steps"_json_pointer, 1), "member event.steps is not an array");
    EXPECT_EQ(event("/steps/0/fact"_json_pointer, nullptr),
              "member event.steps[0].fact is not an object");
    EXPECT_EQ(event("/steps/0/technician"_json_pointer, "yes"),
              "member event.steps[0].technician is not true or false");
    EXPECT_EQ(event("/steps/0/effect/askings/0"_json_pointer, 7),
              "member event.steps[0].effect.askings is not an array of strings");
    EXPECT_EQ(event("/steps/0/takes_ms"_json_pointer, 30'000),
              "member event.steps[0].takes_ms is not a string");
    EXPECT_EQ(event("/steps/0/takes_ms"_json_pointer, "30 s"),
              "member event.steps[0].takes_ms is not a whole number in a string");
    EXPECT_EQ(event("/rules/0/holds/gap_ms"_json_pointer, ""),
              "member event.rules[0].holds.gap_ms is not a whole number in a string");
    EXPECT_EQ(event("/cooling/tray"_json_pointer, nullptr),
              "member event.cooling.tray is not a string");
    EXPECT_EQ(event("/arguments/module"_json_pointer, 3),
              "member event.arguments.module is not a string");
    EXPECT_EQ(refusal_of_work([](json& line) { line["event"].erase("ticket"); }),
              "member event.ticket is missing");
    const auto finding = [](int number, const char* member, const json& value) {
        return refusal_of_work([&](json& line) { line["findings"][number][member] = value; });
    };
    EXPECT_EQ(finding(0, "word", "GO"),
              "member findings[0].word is not a word that this version knows");
    EXPECT_EQ(finding(0, "phase", 1), "member findings[0].phase is not a string");
    EXPECT_EQ(finding(0, "opened", "5"),
              "member findings[0].opened is not a time like 2026-11-25T08:54:17.000Z");
    EXPECT_EQ(finding(1, "stage", "flying"),
              "member findings[1].stage is not a word that this version knows");
    EXPECT_EQ(finding(1, "revision", 2), "member findings[1].revision is not a string");
    EXPECT_EQ(finding(1, "revision", "-2"),
              "member findings[1].revision is not a whole number in a string");
    EXPECT_EQ(finding(2, "truth", "perhaps"),
              "member findings[2].truth is not a word that this version knows");
    EXPECT_EQ(finding(2, "because", 1), "member findings[2].because is not an object");
    EXPECT_EQ(finding(2, "last_look", 1), "member findings[2].last_look is not an object");
    EXPECT_EQ(finding(3, "passed", nullptr), "member findings[3].passed is not true or false");
    EXPECT_EQ(finding(4, "procedure", nullptr), "member findings[4].procedure is not a string");
}

} // namespace slotwitness::journal
