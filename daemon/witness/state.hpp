#pragma once

#include "baseline.hpp"
#include "course.hpp"
#include "gate.hpp"
#include "inventory.hpp"
#include "witness.hpp"

#include <map>
#include <memory>
#include <set>
#include <string>
#include <variant>
#include <vector>

namespace slotwitness::witness {

/// What the witness remembers of one chassis: its gates, procedures, inventory, baseline, the round
/// under way. But for the baseline it keeps no answer of an earlier round; of gates and procedures
/// that are decided and retired only the name, so that it is not given twice.
class State {
  public:
    State() = default;
    explicit State(const Remembered& remembered);

    [[nodiscard]] Outcome step(const Event& event);
    [[nodiscard]] std::optional<state::Problem> refusal(const GateOpened& gate) const;
    [[nodiscard]] std::optional<state::Problem> refusal(const ProcedureOpened& procedure) const;
    [[nodiscard]] std::vector<UnrecordedLoss> lost() const;
    [[nodiscard]] std::vector<std::string> wanted_askings() const;
    [[nodiscard]] const Baseline* baseline() const { return baseline_.get(); }
    [[nodiscard]] bool baseline_wanted() const { return baseline_wish_.has_value(); }

  private:
    /// An answer, or that none came.
    struct Report {
        Instant asked;
        Instant at;
        std::variant<Heard, Silent> what;
    };
    struct Round {
        RoundNumber number = 0;
        Instant started;
        std::vector<std::string> askings;
        std::map<std::string, Report> reports;
        [[nodiscard]] RoundBegun begun() const { return {number, started, askings}; }
    };

    void happen(Instant at, const RunStarted& event);
    void happen(Instant at, const RoundStarted& event);
    void happen(Instant at, const Answered& event);
    void happen(Instant at, const Failed& event);
    void happen(Instant at, const GateOpened& event);
    void happen(Instant at, const GateClosed& event);
    void happen(Instant at, const BaselineWanted& event);
    void happen(Instant at, const Tick& event);
    void happen(Instant at, const ProcedureOpened& event);
    void happen(Instant at, const StepReleased& event);
    void happen(Instant at, const StepConfirmed& event);
    void happen(Instant at, const StepUnconfirmed& event);
    void happen(Instant at, const StepTriedAgain& event);
    void happen(Instant at, const StepForced& event);
    void happen(Instant at, const StopAnswered& event);
    void happen(Instant at, const DifferenceWaived& event);
    void happen(Instant at, const BackOutBegun& event);
    void happen(Instant at, const ShiftTaken& event);
    void happen(Instant at, const ForecastMade& event);
    void happen(Instant at, const ProcedureClosed& event);
    void happen(Instant at, const ChassisNamed& event);
    void happen(Instant at, const SessionOpened& event);
    template <class Act>
    void act(Instant at, const std::string& procedure, const Act& event);

    [[nodiscard]] static bool expects(const std::optional<Round>& under_way, RoundNumber round,
                                      const std::string& asking);
    void report(RoundNumber round, const std::string& asking, Report report);
    void learn(const Answered& answer);
    void learn_serial(const Answered& answer);
    void learn_leading(const Answered& answer);
    /// The reports to these queries that the round has so far.
    struct Gathered {
        std::vector<Heard> heard;
        std::vector<Silent> silent;
        Look look;
        std::vector<std::string> missing; ///< not answered yet, or asked before
    };
    /// Only queries asked at or after `since` count. Nothing if there is no report at all.
    [[nodiscard]] static std::optional<Gathered>
    gather(const Round& round, const std::vector<std::string>& askings, Instant since);
    void judge_looks(const std::string& asking);
    /// `confirms`: answers may also tell that a rule holds.
    void judge_rules(const Round& round, const std::string& asking, bool confirms);
    void judge_cooling(const std::string& asking);
    [[nodiscard]] Grounds grounds(const View& view) const {
        return {view, inventory_, baseline_.get(), nullptr, {}, peak_load_};
    }
    void abandon_round(const std::string& why);
    void fix_baseline(Instant at);
    /// Procedures compare the chassis with what it was before the work.
    void compare_whole();
    void keep(std::shared_ptr<const Baseline> baseline);

    [[nodiscard]] std::optional<Instant> due() const;
    [[nodiscard]] Instant overdue_at(const Gate& gate) const;
    void miss_overdue(Instant now);
    void reach(Instant now);
    [[nodiscard]] tl::expected<sentences::Sentence, state::Problem>
    admitted(const GateOpened& gate) const;

    /// The gate's state goes out if it is another than before.
    template <class Change>
    void change(Gate& gate, const Change& change);
    void drop_retired();
    void open(Instant at, const GateOpened& event, sentences::Sentence sentence);
    /// Procedures go on with what has changed.
    void settle(Instant now);
    void obey(Instant at, Course& course, const Order& order);

    std::optional<Instant> now_;
    Inventory inventory_;
    std::map<state::Kind, Inventory::Names> listed_; ///< by the newest whole answers of this run
    std::optional<std::string>
        serial_; ///< of the chassis, by the newest whole answer that tells it
    std::string
        leading_; ///< controllers in charge, by the newest answer of this run that names any
    std::string address_; ///< that answered last in this run
    std::optional<Round> round_;
    std::optional<Round> cut_;                 ///< as the beginning of the run told it
    std::shared_ptr<const Baseline> baseline_; ///< null: there is none
    struct Wish {
        Instant at;
        BaselineWanted what;
    };
    std::optional<Wish> baseline_wish_; ///< not met yet
    std::optional<units::Decimal> peak_load_;
    std::map<std::string, Gate> gates_; ///< live ones
    std::set<std::string> names_;       ///< of all gates and procedures ever opened
    std::map<std::string, Course> courses_;
    std::vector<Finding> findings_; ///< of the step under way
};

template <class Change>
void State::change(Gate& gate, const Change& change) {
    const GateFinding before = gate.finding();
    change(gate);
    if (gate.finding() == before)
        return;
    findings_.emplace_back(gate.finding());
    for (auto& [id, course] : courses_)
        if (course.owns(gate.finding().id))
            course.saw(gate.finding());
}

} // namespace slotwitness::witness
