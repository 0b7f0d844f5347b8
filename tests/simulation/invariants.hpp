#pragma once

#include "known.hpp"
#include "world.hpp"

#include <slotwitness/desk/live_desk.hpp>

#include <map>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace slotwitness::simulation {

/// What must hold whatever happens. It knows what each chassis was and what it answered; of the
/// daemon it sees what everybody sees: findings, views, answers to people.
class Invariants {
  public:
    /// G where nobody gave another, and R, of every gate of a simulation.
    static constexpr units::Duration gap{7'000};
    static constexpr units::Duration refresh{1'000};

    struct Broken {
        std::string name; ///< of the invariant
        std::string text;
    };
    [[nodiscard]] const std::vector<Broken>& broken() const { return broken_; }
    /// What came about, and how often: what never does is not tested.
    [[nodiscard]] const std::map<std::string, std::size_t>& met() const { return met_; }

    // What happened.
    void heard(const std::string& chassis, const Heard& heard);
    void published(const std::string& chassis, const desk::Recorded& recorded);
    /// A process begins, and with it a time line that may have jumped. `found`: see Disk.
    void begun(const desk::LiveDesk& desk, units::Instant at, const std::string& found);

    // What people were told.
    void gate_opened(const std::string& chassis, const std::string& key,
                     const desk::GateView& view);
    void procedure_opened(const desk::ProcedureView& view);
    void step_released(const std::string& procedure, const std::string& step);

    /// What can be seen now. `settled`: nothing is under way inside the daemon. `untroubled`: disk,
    /// machine and process have been well for some seconds.
    void look(const desk::LiveDesk& desk, bool settled, bool untroubled);
    /// The journal of a chassis at the end, and what a replay finds other than recorded.
    void end(const std::string& chassis, const std::vector<journal::Entry>& entries,
             const std::string& difference);

  private:
    struct Chassis {
        std::map<std::string, std::vector<Heard>> heard; ///< by asking
        std::vector<units::Instant> interruptions;       ///< no hold may span one
        std::vector<Heard> news;                         ///< since the last look
        bool denied = false;                             ///< its newest event is not recorded
        chassis::Snapshot missing; ///< in its baseline: what ranges over it ranges not over that
    };
    /// The time of day, for messages.
    [[nodiscard]] static std::string at(units::Instant time);
    void breaks(const std::string& name, std::string text);
    void take(const std::string& chassis, const witness::Finding& finding);
    void note_baseline(Chassis& chassis);
    /// What was true of it in that state of the chassis.
    [[nodiscard]] static std::optional<bool> truth(const Chassis& chassis, const Known& condition,
                                                   chassis::Snapshot now);
    /// What the one answer alone tells of it.
    [[nodiscard]] static std::optional<bool> alone(const Chassis& chassis, const Known& condition,
                                                   const Heard& heard);
    void check_look(const std::string& chassis, const witness::GateFinding& finding);
    void check_pass(const std::string& chassis, const witness::GateFinding& finding);
    void check_acts(const witness::Event& event, const std::vector<witness::Finding>& findings);
    void look_at_gates(const desk::LiveDesk& desk, bool quiet);
    void look_at(const desk::ProcedureView& view, units::Instant now, bool settled);
    void check_state_met(const desk::ProcedureView& view, units::Instant now, bool settled);

    std::vector<Broken> broken_;
    std::map<std::string, std::size_t> met_;
    std::map<std::string, Chassis, std::less<>> chassis_;
    std::map<std::string, witness::GateFinding> gates_; ///< as recorded last
    std::map<std::string, units::Duration> gaps_;       ///< of those that people opened
    std::map<std::string, std::string> gate_keys_;      ///< key: gate
    std::set<std::string> told_procedures_;
    std::map<std::string, std::set<std::string>> released_; ///< procedure: steps said to be so
    std::map<std::string, std::set<std::string>> lost_;     ///< procedure: rules
    /// Of these, by answers that no journal has: with the process they are forgotten.
    std::set<std::pair<std::string, std::string>> unrecorded_;
    std::set<std::string> acts_; ///< done and recorded
    units::Instant begun_at_{};
};

} // namespace slotwitness::simulation
