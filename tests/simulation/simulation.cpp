#include "simulation.hpp"

#include "../desk/manual_clock.hpp"
#include "disk.hpp"
#include "people.hpp"

#include <slotwitness/replay/recover.hpp>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <optional>
#include <stdexcept>

namespace slotwitness::simulation {

namespace {

using units::Duration;
using units::Instant;
using Kind = Act::Kind;

constexpr std::int64_t wall_at_begin = 1'790'000'000'000;
/// All is well for so long: what could not be recorded was tried again.
constexpr Time calm{5'000};

std::string text_of(const std::string& name) {
    std::ifstream stream(SLOTWITNESS_TESTS "/simulation/data/" + name);
    if (!stream)
        throw std::runtime_error("cannot read " + name);
    return {std::istreambuf_iterator<char>(stream), {}};
}

std::shared_ptr<const profiles::Profile> profile(unsigned parallel) {
    static const auto read = [](std::size_t at_once) {
        auto result = profiles::parse_profile(text_of("small.toml"), "small.toml");
        if (!result)
            throw std::runtime_error(state::to_text(result.error().front()));
        result->reach.parallel = at_once;
        return std::make_shared<const profiles::Profile>(std::move(*result));
    };
    static const std::array both{read(1), read(2)};
    return both.at(parallel - 1);
}

desk::ProcedureBook book() {
    static const desk::WrittenProcedure reseat = [] {
        const std::string text = text_of("reseat.toml");
        auto procedure = procedures::parse_procedure({"reseat.toml", text});
        if (!procedure)
            throw std::runtime_error(state::to_text(procedure.error().front()));
        return desk::WrittenProcedure{std::move(*procedure), text};
    }();
    return {{"reseat", reseat}};
}

class Play {
  public:
    Play(const Schedule& schedule, const Twins& twins)
        : schedule_(schedule), twins_(twins), chance_(schedule.seed ^ 0x51u) {
        for (unsigned i = 0; i < schedule.chassis; ++i) {
            const std::string name = chassis_name(i);
            worlds_.push_back(std::make_unique<World>(name, schedule.seed * 31 + i, now_,
                                                      [this, name](Heard heard) {
                                                          heard.at = clock_->now();
                                                          invariants_.heard(name, heard);
                                                      }));
        }
    }

    Ran run() {
        begin();
        auto act = schedule_.acts.begin();
        const Time tail = schedule_.lasts + calm + std::chrono::seconds(1);
        while (now_ < tail) {
            settle();
            look();
            Time next = tail;
            if (act != schedule_.acts.end())
                next = std::min(next, act->at);
            else if (now_ < schedule_.lasts)
                next = std::min(next, schedule_.lasts);
            for (const Time at : {begin_at_, disk_full_until_, disk_slow_until_})
                if (at > now_)
                    next = std::min(next, at);
            if (const auto alarm = next_alarm())
                next = std::min(next, *alarm);
            pass_time(next);
            if (now_ >= schedule_.lasts && act == schedule_.acts.end())
                for (const auto& world : worlds_)
                    world->mend();
            if (now_ >= disk_full_until_ && disk_.is_full())
                disk_.empty();
            if (!desk_ && now_ >= begin_at_)
                begin();
            for (; act != schedule_.acts.end() && act->at <= now_; ++act)
                take(*act);
        }
        end();
        Ran ran;
        ran.broken = invariants_.broken();
        ran.digest = disk_.digest();
        ran.met = invariants_.met();
        for (const auto& world : worlds_)
            ran.entries += disk_.entries(world->name()).size();
        return ran;
    }

  private:
    void begin() {
        std::vector<desk::ChassisSettings> chassis;
        for (const auto& world : worlds_) {
            desk::ChassisSettings& settings = chassis.emplace_back();
            settings.name = world->name();
            settings.profile = profile(schedule_.parallel);
            settings.pace = {Duration(1'000), Duration(3'000)};
            settings.serial = world->serial();
            // What was gone before the first whole look would else be nothing that is missing.
            settings.inventory = {{state::Kind::plane, {"1", "2", "3"}},
                                  {state::Kind::module, {"FAB1", "FAB2", "FAB3"}},
                                  {state::Kind::fan_tray, {"TRAY1", "TRAY2"}}};
        }
        desk_ = std::make_unique<desk::LiveDesk>(loop_.get_executor(), std::move(chassis),
                                                 desk::Reconnect{Duration(500), Duration(1'000)},
                                                 book());
        desk_->on_published([this](const std::string& name, const desk::Recorded& recorded) {
            if (alive_)
                invariants_.published(name,
                                      twins_.published ? twins_.published(recorded) : recorded);
        });
        auto store = disk_.open();
        if (twins_.store)
            store = twins_.store(std::move(store));
        const auto begun = desk_->begin(
            std::move(store),
            [this](boost::asio::any_io_executor executor, const desk::ChassisSettings& settings) {
                const auto world =
                    std::find_if(worlds_.begin(), worlds_.end(),
                                 [&](const auto& each) { return each->name() == settings.name; });
                auto link = days::make_device_link(std::move(executor), *clock_, **world,
                                                   settings.profile->reach.timeout);
                return twins_.link ? twins_.link(std::move(link)) : std::move(link);
            },
            [this] { return machine_time(); },
            [this](std::int64_t offset) -> std::unique_ptr<desk::Clock> {
                clock_ = std::make_unique<twins::ManualClock>(machine_time().boottime_ms + offset);
                auto clock = clock_->twin();
                return twins_.clock ? twins_.clock(std::move(clock)) : std::move(clock);
            },
            {[this] { return static_cast<std::uint32_t>(chance_.up_to(0xFFFFFFFF)); },
             journal_.get_executor()});
        if (!begun)
            throw std::runtime_error(begun.error());
        alive_ = true;
        trouble_ = now_;
        invariants_.begun(*desk_, clock_->now(), disk_.found());
    }

    [[nodiscard]] desk::MachineTime machine_time() const {
        return {"boot-" + std::to_string(boot_), (now_ - booted_).count() + 1'000,
                wall_at_begin + (now_ + wall_step_).count(), true};
    }

    /// The process ends at this instant: nothing that it still does reaches disk, people or device.
    void kill() {
        if (!desk_)
            return;
        alive_ = false;
        disk_.kill();
        people_.hang_up();
        desk_->stop();
        while (step(journal_) || step(loop_)) {
        }
        desk_.reset();
    }

    void end() {
        kill();
        const auto store = disk_.open();
        for (const auto& world : worlds_) {
            invariants_.end(world->name(), disk_.entries(world->name()),
                            schedule_.replays ? difference(*store, world->name()) : "");
        }
    }

    static std::string difference(journal::Store& store, const std::string& chassis) {
        const auto recovered = replay::recover_fully(store, chassis);
        if (!recovered)
            return recovered.error().text;
        return recovered->difference ? recovered->difference->text : "";
    }

    static bool step(boost::asio::io_context& context) {
        context.restart();
        return context.poll_one() > 0;
    }

    /// Runs what is due now, to the last handler, loop and journal in turns that the seed fixes.
    void settle() {
        for (;;) {
            const bool disk_first = chance_.in_a_hundred(50);
            const bool disk_works = now_ >= disk_slow_until_;
            if (disk_first && disk_works && step(journal_))
                continue;
            if (step(loop_))
                continue;
            if (disk_works && step(journal_))
                continue;
            return;
        }
    }

    void look() {
        if (!desk_)
            return;
        if (disk_.is_full() || now_ < disk_slow_until_)
            trouble_ = now_;
        invariants_.look(*desk_, now_ >= disk_slow_until_, now_ >= trouble_ + calm);
    }

    [[nodiscard]] std::optional<Time> next_alarm() const {
        const auto alarm = desk_ ? clock_->next_alarm() : std::nullopt;
        if (!alarm)
            return std::nullopt;
        return now_ + std::max(Duration(0), *alarm - clock_->now());
    }

    void pass_time(Time next) {
        if (desk_)
            clock_->advance(next - now_);
        now_ = next;
    }

    void take(const Act& act) {
        switch (act.kind) {
        case Kind::full_disk:
            disk_.fill(act.twist);
            disk_full_until_ = now_ + act.lasts;
            break;
        case Kind::slow_disk:
            disk_slow_until_ = now_ + act.lasts;
            break;
        case Kind::sleep:
            trouble_ = now_ + act.lasts;
            pass_time(now_ + act.lasts);
            break;
        case Kind::step_clock:
            wall_step_ += act.twist ? -act.lasts : act.lasts;
            break;
        case Kind::kill:
            if (desk_)
                kill();
            begin_at_ = std::max(begin_at_, now_ + act.lasts);
            if (act.twist) {
                ++boot_;
                booted_ = now_;
            }
            break;
        default:
            worlds_[act.chassis]->take(act);
            if (desk_)
                people_.take(act, *desk_);
            break;
        }
        if (!desk_ && now_ >= begin_at_)
            begin();
    }

    const Schedule& schedule_;
    const Twins& twins_;
    oracle::Chance chance_;
    Time now_{0};
    Invariants invariants_;
    std::vector<std::unique_ptr<World>> worlds_;
    Disk disk_;
    boost::asio::io_context loop_{1};
    boost::asio::io_context journal_{1}; ///< where the journal's thread would be
    std::unique_ptr<twins::ManualClock> clock_;
    std::unique_ptr<desk::LiveDesk> desk_; ///< null: there is no process
    People people_{loop_, worlds_, invariants_};
    bool alive_ = false;
    Time trouble_{0}; ///< the newest
    Time begin_at_{0}, disk_full_until_{0}, disk_slow_until_{0};
    unsigned boot_ = 1;
    Time booted_{0};
    Time wall_step_{0};
};

} // namespace

Ran run(const Schedule& schedule, const Twins& twins) {
    return Play(schedule, twins).run();
}

Schedule shrunk(const Schedule& schedule, const std::string& invariant, const Twins& twins) {
    const auto still_breaks = [&](const Schedule& smaller) {
        const Ran ran = run(smaller, twins);
        return std::any_of(ran.broken.begin(), ran.broken.end(),
                           [&](const auto& broken) { return broken.name == invariant; });
    };
    Schedule least = schedule;
    // Ever smaller pieces are left out as long as it still breaks.
    for (std::size_t piece = least.acts.size(); piece > 0; piece /= 2)
        for (std::size_t from = 0; from < least.acts.size();) {
            Schedule smaller = least;
            const auto begin = smaller.acts.begin() + static_cast<std::ptrdiff_t>(from);
            const auto end =
                smaller.acts.begin() +
                static_cast<std::ptrdiff_t>(std::min(from + piece, smaller.acts.size()));
            smaller.acts.erase(begin, end);
            if (still_breaks(smaller))
                least = std::move(smaller);
            else
                from += piece;
        }
    return least;
}

} // namespace slotwitness::simulation
