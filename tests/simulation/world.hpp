#pragma once

#include "../chassis/faults.hpp"
#include "../chassis/snapshot.hpp"
#include "../days/device_link.hpp"
#include "../oracle/chance.hpp"
#include "schedule.hpp"

#include <functional>
#include <map>
#include <memory>
#include <string>
#include <vector>

namespace slotwitness::simulation {

/// A small chassis with nothing the matter.
[[nodiscard]] chassis::Snapshot sound_chassis(const std::string& name, const std::string& serial);

/// An answer that came to the daemon, and what was true when its table was made.
struct Heard {
    std::string asking;
    units::Instant asked;
    units::Instant at;  ///< both of the daemon's clock; `at` is filled in by who has one
    bool whole = false; ///< all of it came
    bool clean = false; ///< and nothing in it was damaged
    std::shared_ptr<const chassis::Snapshot> shown; ///< null: another chassis said it
};

/// A small chassis (three planes, three modules, two trays) with its whole history, and the way to
/// it. Its tables are renewed at each whole second.
class World final : public days::FarEnd {
  public:
    /// `now`: of the world outside; `hears` is told of each answer as it reaches the daemon.
    World(std::string name, std::uint64_t seed, const Time& now,
          std::function<void(const Heard&)> hears);

    [[nodiscard]] const std::string& name() const { return name_; }
    [[nodiscard]] const std::string& serial() const { return serial_; }

    /// An act upon the chassis or its sessions.
    void take(const Act& act);
    /// What the people of a procedure do at one of its steps.
    void work(const std::string& step);
    /// All faults end now.
    void mend();

    [[nodiscard]] std::optional<links::LinkError> refusal() override;
    [[nodiscard]] chassis::Delivery ask(std::string_view command, units::Instant now) override;
    [[nodiscard]] units::Duration latency() override;
    void answered(std::string_view command, units::Instant asked, bool came) override;

  private:
    using Change = std::function<void(chassis::Snapshot&)>;
    void change(const Change& change);
    void change_for(Time lasts, const Change& there, const Change& back);
    /// Ends what is over by now.
    void go_on();
    [[nodiscard]] std::shared_ptr<const chassis::Snapshot> at(Time time) const;
    [[nodiscard]] bool is_another() const { return now_ < another_until_; }

    struct Lasting {
        Time until;
        chassis::Fault fault;
    };
    struct Later {
        Time at;
        Change change;
    };
    struct Asked {
        std::shared_ptr<const chassis::Snapshot> shown;
        bool whole = false;
        bool clean = false;
    };

    std::string name_;
    std::string serial_;
    oracle::Chance chance_;
    const Time& now_;
    std::function<void(const Heard&)> hears_;
    std::vector<std::shared_ptr<const chassis::Snapshot>> history_;
    std::vector<Later> later_;
    std::vector<Lasting> faults_;
    std::map<std::string, Asked, std::less<>> asked_;
    Time no_session_until_{-1};
    Time another_until_{-1};
    bool session_holds_ = false; ///< the one that was let in last
    bool session_is_another_ = false;
};

} // namespace slotwitness::simulation
