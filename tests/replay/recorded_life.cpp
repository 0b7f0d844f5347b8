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
    std::string text = "PLANE  DRIVE     CONDITION  PATHS   OF  CARRIES UP TO  FAULTS\n"
                       "-----  --------  ---------  -----  ---  -------------  ------\n"
                       "1      engaged   carrying      48   48       3.2 Tb/s       ";
    text += faulty ? "7\n" : "0\n";
    if (listed)
        text += shut ? "3      released  dark           0   48         0 Tb/s       0\n"
                     : "3      engaged   carrying      48   48       3.2 Tb/s       0\n";
    if (odd)
        text += "a line that nobody reads\n";
    return text;
}

} // namespace

RecordedLife::RecordedLife(journal::Store& store, std::uint64_t seed)
    : store_(store), random_(seed), profile_(quillon()) {
    restart();
}

void RecordedLife::restart() {
    now_ += Duration(pick(4'000));
    witness::RunStarted run;
    run.boot_id = "boot";
    run.elapsed_known = pick(4) != 0;
    run.profile = journal::digest_of(profile_->text);
    captures_ = {{run.profile, profile_->text}};
    asking_ = false;
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

witness::Event RecordedLife::answer(Instant at) {
    const Instant asked = at - Duration(pick(500));
    asking_ = false;
    if (pick(8) == 0)
        return {at, witness::Failed{round_, "planes", asked, witness::NoAnswer::timed_out,
                                    "no answer"}};
    std::string bytes =
        tell_planes(pick(10) == 0 ? pick(16) : (now_.time_since_epoch().count() / 9'000) & 1);
    witness::Ending ending{true, 0, ""};
    if (pick(12) == 0) {
        bytes.resize(pick(bytes.size()));
        ending = {false, std::nullopt, "cut"};
    }
    return answer(asked, at, std::move(bytes), ending);
}

witness::Event RecordedLife::answer(Instant asked, Instant at, std::string bytes,
                                    const witness::Ending& ending) {
    const std::string digest = journal::digest_of(bytes);
    auto reading =
        std::make_shared<const state::Reading>(read_answer(*profile_, "planes", bytes, ending));
    captures_ = {{digest, std::move(bytes)}};
    return {at, witness::Answered{round_, "planes", asked, digest, ending, std::move(reading)}};
}

void RecordedLife::look(std::size_t planes) {
    now_ += Duration(500);
    captures_.clear();
    record({now_, witness::RoundStarted{++round_, {"planes"}}});
    const Instant asked = now_;
    now_ += Duration(500);
    record(answer(asked, now_, tell_planes(planes), {true, 0, ""}));
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
    gates_.push_back(gate.id);
    return {at, gate};
}

witness::Event RecordedLife::invent() {
    captures_.clear();
    now_ += Duration(pick(900));
    switch (pick(12)) {
    case 0:
        if (pick(4) == 0)
            return {now_, witness::BaselineWanted{{"planes"}, "a test"}};
        return {now_, witness::Tick{}};
    case 1:
        return open(now_, sentences_tried[pick(sentences_tried.size())]);
    case 2:
        if (!gates_.empty())
            return {now_, witness::GateClosed{gates_[pick(gates_.size())], "a test"}};
        return {now_, witness::Tick{}};
    default:
        if (asking_)
            return answer(now_);
        asking_ = true;
        return {now_, witness::RoundStarted{++round_, {"planes"}}};
    }
}

void RecordedLife::record(const witness::Event& event) {
    const witness::Outcome outcome = witness_.step(event);
    const auto entry = store_.append(chassis, journal::to_body(event, outcome.findings), captures_);
    if (!entry)
        throw std::runtime_error(entry.error().text);
}

} // namespace slotwitness::replay
