#include "recorded_life.hpp"

#include <slotwitness/journal/codec.hpp>
#include <slotwitness/replay/reread.hpp>

#include <fstream>
#include <iterator>
#include <stdexcept>
#include <utility>

namespace slotwitness::replay {

namespace {

using units::Duration;
using units::Instant;

constexpr const char* chassis = "edge-7";

std::shared_ptr<const profiles::Profile> quillon() {
    std::ifstream stream(SLOTWITNESS_FIXTURES "/quillon/profile.toml");
    const std::string text(std::istreambuf_iterator<char>(stream), {});
    auto profile = profiles::parse_profile(text, "profile.toml");
    if (!profile)
        throw std::runtime_error(state::to_text(profile.error().front()));
    return std::make_shared<const profiles::Profile>(std::move(*profile));
}

const std::vector<std::string> sentences_tried = {
    "plane 3 shut for 3 s within 20 s",
    "plane 3 down",
    "every plane except 3 up for 2 s within 30 s",
    "not plane 3 present within 9 s",
    "plane 9 up",
    "at most 1 plane not operational for 4 s",
    "plane 1 up and not plane 3 up",
    "plane 3 up for 1 s",
    "every plane up in baseline is up for 2 s",
    "not every plane up in baseline is up",
    "errors of plane 1 not rising for 2 s within 30 s"};

std::string tell_planes(std::size_t look) {
    const bool shut = look & 1, listed = !(look & 2), odd = look & 4, faulty = look & 8;
    const bool plane_1 = !(look & 16);
    std::string text = "PLANE  DRIVE     CONDITION  PATHS   OF  CARRIES UP TO  FAULTS\n"
                       "-----  --------  ---------  -----  ---  -------------  ------\n";
    text += plane_1 ? "1      engaged   carrying      48   48       3.2 Tb/s       "
                    : "1      engaged   dark           0   48         0 Tb/s       ";
    text += faulty ? "7\n" : "0\n";
    if (listed)
        text += shut ? "3      released  dark           0   48         0 Tb/s       0\n"
                     : "3      engaged   carrying      48   48       3.2 Tb/s       0\n";
    if (odd)
        text += "a line that nobody reads\n";
    return text;
}

std::string tell_trays(bool out, std::size_t look) {
    const auto tray = [](const char* name, const char* condition) {
        return std::string("Tray ") + name + "\nDrive: engaged\nCondition: " + condition +
               "\nTurning at: 7200 rpm\nCools: FAB3\nSerial: QT-20-00072\nPrinted: T\n\n";
    };
    std::string text = tray("TRAY1", look == 5 ? "dark" : "running");
    if (!out)
        text += tray("TRAY2", look == 6 ? "unclear" : "running");
    if (look == 7)
        text += "a line that nobody reads\n";
    return text;
}

witness::SentencePlan looked_at(const char* sentence, const char* asking) {
    return {sentence, {asking}, Duration(6'000), Duration(500)};
}

witness::StepPlan step(const char* name, const witness::SentencePlan& fact,
                       const witness::SentencePlan& effect) {
    witness::StepPlan plan;
    plan.name = name;
    plan.technician = true;
    plan.act = "Do it.";
    plan.if_wrong = {"freeze", "Freeze."};
    plan.fact = fact;
    plan.effect = effect;
    return plan;
}

witness::ProcedureOpened job() {
    const auto others = looked_at("every plane except 3 up within 20 s", "planes");
    const auto shut = looked_at("plane 3 shut within 20 s", "planes");
    const auto out = looked_at("fan-tray TRAY2 absent within 20 s", "trays");
    const auto in = looked_at("fan-tray TRAY2 operational within 20 s", "trays");
    witness::ProcedureOpened opened;
    opened.title = "Pull TRAY2";
    opened.arguments = {{"tray", "TRAY2"}};
    opened.steps = {step("shut", others, shut), step("pull", shut, out), step("seat", others, in)};
    opened.steps[1].until = "seat";
    opened.steps[2].takes = Duration(4'000);
    opened.back_out = {step("put-back", others, in)};
    opened.back_out[0].undoes = "pull";
    opened.rules = {{"plane-1", "Plane 1 is up", looked_at("plane 1 up", "planes"), "", "", {}},
                    {"tray-1",
                     "TRAY1 works",
                     looked_at("fan-tray TRAY1 operational", "trays"),
                     "pull",
                     "",
                     {}}};
    opened.cooling = {"TRAY2", looked_at("fan-tray TRAY2 operational", "trays"),
                      "pull",  "seat",
                      "pull",  Duration(15'000)};
    opened.by = "Ada";
    return opened;
}

} // namespace

RecordedLife::RecordedLife(journal::Store& store, std::uint64_t seed)
    : store_(store), random_(seed), profile_(quillon()), opens_gates_(seed % 3 != 0) {
    restart();
}

void RecordedLife::restart() {
    now_ += Duration(pick(4'000));
    witness::RunStarted run;
    run.boot_id = "boot";
    run.elapsed_known = pick(4) != 0;
    run.profile = journal::digest_of(profile_->text);
    captures_ = {{run.profile, profile_->text}};
    asking_.clear();
    record({now_, run});
}

void RecordedLife::live(std::size_t events) {
    for (std::size_t i = 0; i < events; ++i) {
        if (pick(60) == 0)
            restart();
        else
            record(invent());
    }
}

std::string RecordedLife::tell(const std::string& asking) {
    const auto ms = static_cast<std::size_t>(now_.time_since_epoch().count());
    const bool odd = pick(10) == 0;
    if (asking == "planes")
        return tell_planes(odd ? pick(32) : ms / 9'000 & 1);
    return tell_trays(odd ? pick(2) == 0 : ms / 7'000 % 3 == 2, odd ? pick(8) : 0);
}

witness::Event RecordedLife::answer(Instant at) {
    const Instant asked = at - Duration(pick(500));
    const std::string asking = asking_.back();
    asking_.pop_back();
    if (pick(8) == 0)
        return {at,
                witness::Failed{round_, asking, asked, witness::NoAnswer::timed_out, "no answer"}};
    std::string bytes = tell(asking);
    witness::Ending ending{true, 0, ""};
    if (pick(12) == 0) {
        bytes.resize(pick(bytes.size()));
        ending = {false, std::nullopt, "cut"};
    }
    return answer(asking, asked, at, std::move(bytes), ending);
}

witness::Event RecordedLife::answer(const std::string& asking, Instant asked, Instant at,
                                    std::string bytes, const witness::Ending& ending) {
    const std::string digest = journal::digest_of(bytes);
    auto reading =
        std::make_shared<const state::Reading>(read_answer(*profile_, asking, bytes, ending));
    captures_ = {{digest, std::move(bytes)}};
    return {at, witness::Answered{round_, asking, asked, digest, ending, std::move(reading)}};
}

void RecordedLife::look(std::size_t planes) {
    now_ += Duration(500);
    captures_.clear();
    record({now_, witness::RoundStarted{++round_, {"planes"}}});
    const Instant asked = now_;
    now_ += Duration(500);
    record(answer("planes", asked, now_, tell_planes(planes), {true, 0, ""}));
}

void RecordedLife::open_gate(const std::string& sentence) {
    captures_.clear();
    record(open(now_, sentence));
}

void RecordedLife::close_gate() {
    captures_.clear();
    record({now_, witness::GateClosed{gates_.back(), "a test"}});
}

void RecordedLife::want_baseline() {
    captures_.clear();
    record({now_, witness::BaselineWanted{{"planes"}, "a test"}});
}

witness::Event RecordedLife::open(Instant at, const std::string& sentence) {
    witness::GateOpened gate;
    gate.id = "gate-" + std::to_string(gates_.size());
    gate.sentence = sentence;
    gate.askings = {"planes"};
    gate.gap = Duration(3'000 + 1'000 * pick(4));
    gate.refresh = Duration(500 * pick(3));
    gate.guard = Duration(pick(2) * 8'000);
    gate.by = "a test";
    if (!gates_.empty() && pick(8) == 0)
        gate.id = gates_[pick(gates_.size())]; // it is refused
    else
        gates_.push_back(gate.id);
    return {at, gate};
}

const RecordedLife::Told* RecordedLife::open_job() const {
    for (const auto& [id, told] : told_)
        if (told.procedure.phase != witness::Phase::closed)
            return &told;
    return nullptr;
}

decltype(witness::Event::what) RecordedLife::open_procedure() {
    witness::ProcedureOpened opened = job();
    if (pick(2) == 0)
        opened.whole = {"planes", "trays"};
    opened.chassis = chassis;
    opened.right_chassis = pick(6) == 0;
    const bool again = jobs_ > 0 && pick(4) == 0; // then it is refused
    opened.id = "job-" + std::to_string(again ? pick(jobs_) : jobs_++);
    return opened;
}

/// What people do to the procedure under way: mostly what gets on.
decltype(witness::Event::what) RecordedLife::work() {
    const Told* told = open_job();
    if (!told || pick(25) == 0)
        return open_procedure();
    const std::string& id = told->procedure.id;
    const auto found = told->steps.find(told->procedure.step);
    using Of = witness::StopAnswered::Of;
    for (const auto& [name, rule] : told->rules)
        if (rule.lost && pick(2) == 0)
            return witness::StopAnswered{id, Of::rule, name, "Ada", "It is known."};
    for (const auto& [name, step] : told->steps)
        if (step.lost && pick(2) == 0)
            return witness::StopAnswered{id, Of::step, name, "Ada", "It is known."};
    if (told->cooling && told->cooling->passed && pick(2) == 0)
        return witness::StopAnswered{id, Of::cooling, "", "Ada", "It is known."};
    if (found == told->steps.end())
        return witness::ProcedureClosed{id,
                                        told->procedure.phase == witness::Phase::backing_out
                                            ? witness::Closing::backed_out
                                            : witness::Closing::done,
                                        "Ada", "", ""};
    const witness::StepFinding& step = found->second;
    const witness::StepAct act{id, step.name, step.revision - pick(10) / 9, "Ada"};
    switch (pick(22)) {
    case 20:
        return witness::ChassisNamed{id, "0017", "Ada", "Grace"};
    case 21:
        return witness::StopAnswered{id, Of::chassis, "", "Ada", "It tells none."};
    case 0:
        return witness::StepForced{act, false, "In a hurry."};
    case 1:
        return witness::StepForced{act, true, "Not needed."};
    case 2:
        return witness::ShiftTaken{id, "Grace"};
    case 3:
        return witness::ShiftTaken{id, "Ada"};
    case 4:
        return witness::BackOutBegun{id, "Ada", "No spare."};
    case 5:
        return witness::ProcedureClosed{id, witness::Closing::closed_degraded, "Ada", "T-7",
                                        "No spare."};
    case 6:
        return witness::GateClosed{step.fact, "somebody"};
    default:
        if (step.stage == witness::Stage::fact && pick(6) > 0)
            return witness::StepReleased{act};
        if (step.stage == witness::Stage::released)
            return witness::StepConfirmed{act, "", pick(2) == 0 ? step.code : ""};
        if (step.undo_until && pick(3) == 0)
            return witness::StepUnconfirmed{act};
        return witness::StepTriedAgain{act};
    }
}

witness::Event RecordedLife::invent() {
    captures_.clear();
    now_ += Duration(pick(900));
    switch (pick(14)) {
    case 0:
        if (pick(4) == 0)
            return {now_, witness::BaselineWanted{{"planes"}, "a test"}};
        return {now_, witness::Tick{}};
    case 1:
        if (opens_gates_)
            return open(now_, sentences_tried[pick(sentences_tried.size())]);
        return {now_, work()};
    case 2:
        if (!gates_.empty())
            return {now_, witness::GateClosed{gates_[pick(gates_.size())], "a test"}};
        return {now_, witness::Tick{}};
    case 3:
    case 4:
        return {now_, work()};
    default:
        if (!asking_.empty())
            return answer(now_);
        asking_ = {"trays", "planes"};
        return {now_, witness::RoundStarted{++round_, {"planes", "trays"}}};
    }
}

void RecordedLife::see(const std::vector<witness::Finding>& findings) {
    for (const witness::Finding& finding : findings) {
        if (const auto* told = std::get_if<witness::ProcedureFinding>(&finding))
            told_[told->id].procedure = *told;
        if (const auto* step = std::get_if<witness::StepFinding>(&finding))
            told_[step->procedure].steps[step->name] = *step;
        if (const auto* rule = std::get_if<witness::RuleFinding>(&finding))
            told_[rule->procedure].rules[rule->name] = *rule;
        if (const auto* cooling = std::get_if<witness::CoolingFinding>(&finding))
            told_[cooling->procedure].cooling = *cooling;
    }
}

void RecordedLife::record(const witness::Event& event) {
    const witness::Outcome outcome = witness_.step(event);
    see(outcome.findings);
    const auto entry = store_.append(chassis, journal::to_body(event, outcome.findings), captures_);
    if (!entry)
        throw std::runtime_error(entry.error().text);
}

} // namespace slotwitness::replay
