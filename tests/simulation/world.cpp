#include "world.hpp"

#include "../chassis/answers.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::simulation {

namespace {

using chassis::Condition;
using chassis::Drive;
using chassis::Fault;
using chassis::Snapshot;
using Kind = Act::Kind;

constexpr int all_paths = 4;
constexpr Time refresh{1'000};

chassis::ModuleRow module_row(const std::string& number) {
    return {"FAB" + number,
            "Fabric module",
            Drive::engaged,
            Condition::running,
            0,
            "QL4002000" + number,
            "R3",
            "QF-7.2.1",
            {number},
            "REAR " + number};
}
chassis::TrayRow tray_row(const std::string& number) {
    return {"TRAY" + number,  Drive::engaged,       Condition::running, 5'400,
            {"FAB" + number}, "QL4003000" + number, "FRONT " + number};
}

void set_plane(Snapshot& all, unsigned index, Drive drive, int paths) {
    auto& row = all.planes[index];
    row.drive = drive;
    row.paths = drive == Drive::released ? 0 : paths;
    row.condition = row.paths > 0 ? Condition::carrying : Condition::dark;
    row.capacity_gbps = row.paths * 200;
}

template <class Row>
auto row_named(std::vector<Row>& rows, const std::string& slot) {
    return std::find_if(rows.begin(), rows.end(), [&](const Row& row) { return row.slot == slot; });
}

void drive_module(Snapshot& all, const std::string& slot, bool engage) {
    if (const auto row = row_named(all.modules, slot); row != all.modules.end()) {
        row->drive = engage ? Drive::engaged : Drive::released;
        row->condition = engage ? Condition::running : Condition::dark;
    }
}

template <class Row>
void take_out(std::vector<Row>& rows, const std::string& slot) {
    std::erase_if(rows, [&](const Row& row) { return row.slot == slot; });
}
template <class Row>
void put_in(std::vector<Row>& rows, Row row) {
    take_out(rows, row.slot);
    rows.push_back(std::move(row));
    std::sort(rows.begin(), rows.end(),
              [](const Row& left, const Row& right) { return left.slot < right.slot; });
}

std::optional<Fault> fault_of(const Act& act) {
    Fault fault;
    switch (act.kind) {
    case Kind::slow:
        fault.kind = Fault::Kind::slow;
        fault.wait = Time(200 + act.which % 3'000);
        return fault;
    case Kind::lose:
        fault.kind = Fault::Kind::slow;
        fault.wait = std::chrono::hours(1);
        return fault;
    case Kind::cut:
        fault.kind = Fault::Kind::cut;
        fault.bytes = act.which % 400;
        return fault;
    case Kind::garble:
        fault.kind = Fault::Kind::garble;
        return fault;
    case Kind::contradict:
        fault.kind = Fault::Kind::contradict;
        fault.part = chassis::Part::plane;
        fault.name = std::to_string(act.which % 3 + 1);
        return fault;
    case Kind::refuse_command:
        fault.kind = Fault::Kind::refuse_command;
        return fault;
    default: // what no answer shows
        return std::nullopt;
    }
}

} // namespace

Snapshot sound_chassis(const std::string& name, const std::string& serial) {
    Snapshot all;
    all.chassis = {name, serial, "Q-400", "Quillon 7.2.1", 864'000, 1'200};
    for (const std::string number : {"1", "2", "3"}) {
        all.planes.push_back({number, Drive::engaged, Condition::carrying, all_paths, all_paths,
                              all_paths * 200, 0});
        all.modules.push_back(module_row(number));
    }
    for (const std::string number : {"1", "2"})
        all.trays.push_back(tray_row(number));
    return all;
}

World::World(std::string name, std::uint64_t seed, const Time& now,
             std::function<void(const Heard&)> hears)
    : name_(std::move(name)), serial_("QL4000001" + name_.substr(name_.size() - 1)), chance_(seed),
      now_(now), hears_(std::move(hears)) {
    history_.push_back(std::make_shared<const Snapshot>(sound_chassis(name_, serial_)));
}

void World::change(const Change& change) {
    Snapshot next = *history_.back();
    next.at = now_;
    change(next);
    history_.push_back(std::make_shared<const Snapshot>(std::move(next)));
}

void World::change_for(Time lasts, const Change& there, const Change& back) {
    change(there);
    later_.push_back({now_ + lasts, back});
}

void World::go_on() {
    std::stable_sort(later_.begin(), later_.end(),
                     [](const Later& left, const Later& right) { return left.at < right.at; });
    while (!later_.empty() && later_.front().at <= now_) {
        const Later due = std::move(later_.front());
        later_.erase(later_.begin());
        Snapshot next = *history_.back();
        next.at = std::max(due.at, next.at);
        due.change(next);
        history_.push_back(std::make_shared<const Snapshot>(std::move(next)));
    }
    std::erase_if(faults_, [this](const Lasting& each) { return each.until <= now_; });
}

void World::take(const Act& act) {
    go_on();
    const unsigned plane = act.which % 3;
    const std::string module = "FAB" + std::to_string(act.which % 3 + 1);
    const std::string tray = std::to_string(act.which % 2 + 1);
    if (auto fault = fault_of(act)) {
        faults_.push_back({now_ + act.lasts, std::move(*fault)});
        return;
    }
    switch (act.kind) {
    case Kind::release_plane:
    case Kind::engage_plane:
        change([&](Snapshot& all) {
            set_plane(all, plane, act.kind == Kind::engage_plane ? Drive::engaged : Drive::released,
                      all_paths);
        });
        break;
    case Kind::degrade_plane:
    case Kind::flap_plane: {
        const int left = act.kind == Kind::flap_plane ? 0 : 1;
        change_for(
            act.lasts, [&](Snapshot& all) { set_plane(all, plane, all.planes[plane].drive, left); },
            [plane](Snapshot& all) { set_plane(all, plane, all.planes[plane].drive, all_paths); });
        break;
    }
    case Kind::release_module:
    case Kind::engage_module:
        change([&](Snapshot& all) { drive_module(all, module, act.kind == Kind::engage_module); });
        break;
    case Kind::pull_module:
        change_for(
            act.lasts, [&](Snapshot& all) { take_out(all.modules, module); },
            [number = module.substr(3)](Snapshot& all) {
                put_in(all.modules, module_row(number));
            });
        break;
    case Kind::pull_tray:
        change_for(
            act.lasts, [&](Snapshot& all) { take_out(all.trays, "TRAY" + tray); },
            [tray](Snapshot& all) { put_in(all.trays, tray_row(tray)); });
        break;
    case Kind::refuse_session:
        no_session_until_ = now_ + act.lasts;
        session_holds_ = false;
        break;
    case Kind::another_chassis:
        another_until_ = now_ + act.lasts;
        session_holds_ = false;
        break;
    case Kind::drop:
        session_holds_ = false;
        break;
    default: // upon the machine, or by people
        break;
    }
}

void World::work(const std::string& step) {
    go_on();
    change([&](Snapshot& all) {
        if (step == "shut-plane")
            set_plane(all, 2, Drive::released, 0);
        else if (step == "raise-plane" || step == "plane-again")
            set_plane(all, 2, Drive::engaged, all_paths);
        else if (step == "shut-module")
            drive_module(all, "FAB3", false);
        else if (step == "start-module" || step == "restart-module")
            drive_module(all, "FAB3", true);
        else if (step == "pull-tray")
            take_out(all.trays, "TRAY2");
        else if (step == "seat-tray" || step == "refit-tray")
            put_in(all.trays, tray_row("2"));
    });
}

void World::mend() {
    go_on();
    faults_.clear();
    no_session_until_ = another_until_ = Time(-1);
}

std::shared_ptr<const Snapshot> World::at(Time time) const {
    const auto after = std::find_if(history_.rbegin(), history_.rend(),
                                    [&](const auto& each) { return each->at <= time; });
    return after == history_.rend() ? history_.front() : *after;
}

std::optional<links::LinkError> World::refusal() {
    go_on();
    if (now_ < no_session_until_)
        return links::LinkError{links::LinkError::Kind::unreachable, "nobody answers there"};
    session_holds_ = true;
    session_is_another_ = is_another();
    return std::nullopt;
}

chassis::Delivery World::ask(std::string_view command, units::Instant) {
    go_on();
    const std::string asking(command.substr(command.find(' ') + 1));
    // Where the address leads elsewhere by now, the session is gone.
    if (!session_holds_ || session_is_another_ != is_another()) {
        session_holds_ = false;
        asked_[asking] = {nullptr, false, false};
        chassis::Delivery dropped;
        dropped.drops = true;
        return dropped;
    }
    if (session_is_another_) {
        Snapshot other = sound_chassis("edge-9", "QL66666666");
        for (unsigned plane = 0; plane < 3; ++plane)
            set_plane(other, plane, plane == 2 ? Drive::released : Drive::engaged, all_paths);
        drive_module(other, "FAB3", false);
        asked_[asking] = {nullptr, true, true};
        return chassis::deliver(chassis::answer(command, other, other), {});
    }
    std::vector<Fault> faults;
    for (const Lasting& each : faults_)
        faults.push_back(each.fault);
    const auto table = at(now_ / refresh * refresh);
    std::shared_ptr<const Snapshot> shown = table;
    if (!faults.empty())
        shown = std::make_shared<const Snapshot>(chassis::contradicted(*table, faults));
    chassis::Delivery delivery =
        chassis::deliver(chassis::answer(command, *shown, *history_.back()), faults);
    const bool clean = std::all_of(faults.begin(), faults.end(), [](const Fault& fault) {
        return fault.kind == Fault::Kind::slow || fault.kind == Fault::Kind::contradict;
    });
    delivery.wait += latency();
    asked_[asking] = {shown, delivery.status == 0, clean};
    return delivery;
}

units::Duration World::latency() {
    return units::Duration(chance_.in_a_hundred(90) ? chance_.between(1, 30)
                                                    : chance_.between(30, 700));
}

void World::answered(std::string_view command, units::Instant asked, bool came) {
    const std::string_view asking = command.substr(command.find(' ') + 1);
    const auto found = asked_.find(asking);
    if (found == asked_.end())
        return;
    const Asked& told = found->second;
    hears_({std::string(asking),
            asked,
            {},
            came && told.whole,
            came && told.whole && told.clean,
            told.shown});
}

} // namespace slotwitness::simulation
