#include "day.hpp"

#include <slotwitness/card/from_journal.hpp>
#include <slotwitness/replay/recover.hpp>
#include <slotwitness/witness/course.hpp>

#include <boost/asio/co_spawn.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <optional>
#include <stdexcept>

namespace slotwitness::days {

namespace {

namespace fs = std::filesystem;

std::string text_of(const std::string& path) {
    std::ifstream stream(path);
    if (!stream)
        throw std::runtime_error("cannot read " + path);
    return {std::istreambuf_iterator<char>(stream), {}};
}

template <class Value>
Value value_or_throw(tl::expected<Value, std::vector<state::Problem>> read) {
    if (!read)
        throw std::runtime_error(state::to_text(read.error().front()));
    return std::move(*read);
}

desk::ChassisSettings settings() {
    const std::string path = family + "/profile.toml";
    desk::ChassisSettings settings;
    settings.name = "edge-7";
    settings.profile = std::make_shared<const profiles::Profile>(
        value_or_throw(profiles::parse_profile(text_of(path), path)));
    settings.pace = {units::Duration(2'000), units::Duration(60'000)};
    settings.serial = chassis::Fitting().serial;
    return settings;
}

std::vector<desk::ChassisSettings> chassis_beside(const std::string& serial) {
    std::vector all{settings()};
    if (!serial.empty()) {
        all.push_back(all.front());
        all.back().name = "edge-8";
        all.back().serial = serial;
    }
    return all;
}

desk::ProcedureBook book() {
    desk::ProcedureBook book;
    for (const auto& entry : fs::directory_iterator(family + "/procedures")) {
        if (entry.path().extension() != ".toml")
            continue;
        const std::string text = text_of(entry.path().string());
        book.try_emplace(
            entry.path().stem().string(),
            desk::WrittenProcedure{
                value_or_throw(procedures::parse_procedure({entry.path().string(), text})), text});
    }
    return book;
}

} // namespace

rehearsal::Rehearsal rehearsal_of(const std::string& name) {
    std::vector<keys::File> files;
    for (std::optional<std::string> next = name + ".toml"; next;
         next = rehearsal::based_on(files.back()))
        files.push_back({*next, text_of(family + "/rehearsals/" + *next)});
    return value_or_throw(rehearsal::parse_rehearsal(files));
}

Day::Day(const std::string& beside) : device_(chassis::Fitting(), chassis::Time(2'000)) {
    desk_ = std::make_unique<desk::LiveDesk>(
        loop_.get_executor(), chassis_beside(beside),
        desk::Reconnect{units::Duration(1'000), units::Duration(4'000)}, book());
    desk_->on_published([this](const std::string&, const desk::Recorded& recorded) {
        if (const auto* opened = std::get_if<witness::ProcedureOpened>(&recorded.event.what))
            decisions_ = witness::decisions_of(*opened).size();
    });
    auto store = journal::open_sqlite(journal_);
    if (!store)
        throw std::runtime_error(store.error().text);
    desk::Machine machine;
    machine.open_to_read = [this] { return journal::open_sqlite_read_only(journal_); };
    const auto begun = desk_->begin(
        std::move(*store),
        [this](boost::asio::any_io_executor executor, const desk::ChassisSettings& settings) {
            return make_device_link(std::move(executor), *clock_, far_end_,
                                    settings.profile->reach.timeout);
        },
        [] {
            return desk::MachineTime{"boot-a", 1'000'000, 1'790'000'000'000, true};
        },
        [this](std::int64_t offset) {
            clock_ = std::make_unique<twins::ManualClock>(1'000'000 + offset);
            return clock_->twin();
        },
        std::move(machine));
    if (!begun)
        throw std::runtime_error(begun.error());
}

Day::~Day() {
    end();
}

void Day::end() {
    if (!desk_)
        return;
    desk_->stop();
    loop_.restart();
    loop_.run();
    desk_.reset();
}

/// The journal has a thread of its own: nothing is under way there only when nothing came of its
/// having finished.
void Day::settle() {
    for (;;) {
        loop_.restart();
        loop_.poll();
        bool recorded = false;
        desk_->when_recorded([&recorded] { recorded = true; });
        std::size_t handled = 0;
        loop_.restart();
        while (!recorded)
            handled += loop_.run_one();
        if (handled == 1 && loop_.poll() == 0)
            return;
    }
}

rehearsal::Played Day::play(const rehearsal::Rehearsal& rehearsal) {
    // A whole look first: a procedure is opened on a chassis that is known.
    const auto is_known = [this] {
        using state::Kind;
        const auto chassis = desk_->chassis("edge-7");
        const auto lists = [&](Kind kind) {
            return std::any_of(chassis->components.begin(), chassis->components.end(),
                               [&](const auto& each) { return each.row.kind == kind; });
        };
        return lists(Kind::plane) && lists(Kind::module) && lists(Kind::controller) &&
               lists(Kind::fan_tray) && lists(Kind::power_supply) && lists(Kind::sensor);
    };
    std::optional<rehearsal::Played> played;
    rehearsal::Director director(
        *desk_, std::chrono::minutes(40),
        [this](const std::string& order) -> tl::expected<void, std::string> {
            const auto obeyed = device_.obey(order, clock_->now().time_since_epoch());
            if (obeyed.reply.find("\"done\":true") == std::string::npos)
                return tl::unexpected(obeyed.reply);
            return {};
        },
        [this](const std::string& line) {
            told_ += units::to_rfc3339(clock_->now()) + "  " + line + "\n";
        });
    bool begun = false;
    auto take = [&played](const std::exception_ptr& error, rehearsal::Played result) {
        if (error)
            std::rethrow_exception(error);
        played = std::move(result);
    };
    while (!played) {
        settle();
        if (!begun && is_known()) {
            begun = true;
            auto playing = director.play(rehearsal, "edge-7");
            boost::asio::co_spawn(loop_, std::move(playing), take);
            continue;
        }
        const auto next = clock_->next_alarm();
        if (!next)
            throw std::logic_error("nothing is waited for, and the day is not over");
        clock_->advance(std::max(units::Duration(0), *next - clock_->now()));
    }
    return std::move(*played);
}

std::unique_ptr<journal::Store> Day::recorded() {
    end();
    auto store = journal::open_sqlite_read_only(journal_);
    if (!store)
        throw std::runtime_error(store.error().text);
    return std::move(*store);
}

std::string Day::replayed() {
    const auto store = recorded();
    const auto recovered = replay::recover_fully(*store, "edge-7");
    if (!recovered)
        return recovered.error().text;
    return recovered->difference ? recovered->difference->text : "";
}

card::Card PlayedDay::card(std::optional<units::Instant> at) const {
    const auto store = day->recorded();
    const auto found = card::from_journal(*store, "edge-7", at);
    if (!found)
        throw std::runtime_error(found.error().text);
    const auto record = std::find_if(
        found->procedures.begin(), found->procedures.end(),
        [&](const card::Record& each) { return each.procedure.opened.id == procedure; });
    if (record == found->procedures.end())
        throw std::runtime_error("no procedure " + procedure + " is recorded");
    return card::card_of(*record, at.value_or(found->last));
}

const PlayedDay& played(const std::string& rehearsal) {
    static std::map<std::string, PlayedDay> all;
    const auto [at, is_new] = all.try_emplace(rehearsal);
    if (!is_new)
        return at->second;
    auto day = std::make_unique<Day>();
    rehearsal::Played result = day->play(rehearsal_of(rehearsal));
    at->second.procedure = std::move(result.procedure);
    at->second.faults = std::move(result.faults);
    at->second.told = day->told();
    at->second.decisions = day->decisions();
    at->second.replayed = day->replayed();
    at->second.day = std::move(day);
    return at->second;
}

} // namespace slotwitness::days
