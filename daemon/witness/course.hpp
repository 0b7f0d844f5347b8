#pragma once

#include "cooling.hpp"
#include "handback_watch.hpp"
#include "procedure_finding.hpp"
#include "right_chassis.hpp"
#include "right_part.hpp"
#include "rule.hpp"

#include <slotwitness/readback/code_book.hpp>

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace slotwitness::witness {

/// A gate that a course no longer guards.
struct GuardEnded {
    std::string gate;
};
/// What a course wants done to its gates.
using Order = std::variant<GateOpened, GuardEnded>;

/// What people are told to act upon.
enum class Decision {
    released, ///< STATE MET: the act may be done
    stop,
    elsewhere, ///< STOP, for they may stand at another chassis
    call,
    turn_back, ///< the tray goes back, the old part still in
    forced,    ///< the act may be done although something was passed over
};
/// All decisions that such a procedure can come to, as its code book has them.
[[nodiscard]] std::vector<std::string> decisions_of(const ProcedureOpened& opening);
[[nodiscard]] readback::CodeBook code_book(const ProcedureOpened& opening);
/// The read-back code of each step's release, by the step's name.
[[nodiscard]] std::map<std::string, std::string> release_codes(const ProcedureOpened& opening);

/// A procedure under way: steps in order, each with its gates; rules; the cooling clock; the way
/// back. It opens no step by itself that no person released.
class Course {
  public:
    /// Of an opening that was admitted: `rules` are the conditions of its rules, in order.
    Course(ProcedureOpened opening, std::vector<sentences::Condition> rules, Instant at);

    [[nodiscard]] const ProcedureOpened& opening() const { return *opening_; }
    [[nodiscard]] const ProcedureFinding& finding() const { return finding_; }
    [[nodiscard]] bool is_open() const { return finding_.phase != Phase::closed; }
    [[nodiscard]] bool owns(std::string_view gate) const { return gates_.contains(gate); }
    [[nodiscard]] std::vector<Rule>& rules() { return rules_; }
    [[nodiscard]] std::optional<Cooling>& cooling() { return cooling_; }
    [[nodiscard]] RightChassis& right_chassis() { return right_chassis_; }
    /// While it is open the whole chassis is looked at.
    [[nodiscard]] std::vector<std::string> wanted_askings() const;

    // What people do. A problem says why it was not done; nothing has changed then.
    [[nodiscard]] std::optional<state::Problem> happen(Instant at, const StepReleased& event);
    [[nodiscard]] std::optional<state::Problem> happen(Instant at, const StepConfirmed& event);
    [[nodiscard]] std::optional<state::Problem> happen(Instant at, const StepUnconfirmed& event);
    [[nodiscard]] std::optional<state::Problem> happen(Instant at, const StepTriedAgain& event);
    [[nodiscard]] std::optional<state::Problem> happen(Instant at, const StepForced& event);
    [[nodiscard]] std::optional<state::Problem> happen(Instant at, const StopAnswered& event);
    [[nodiscard]] std::optional<state::Problem> happen(Instant at, const DifferenceWaived& event);
    [[nodiscard]] std::optional<state::Problem> happen(Instant at, const BackOutBegun& event);
    [[nodiscard]] std::optional<state::Problem> happen(Instant at, const ShiftTaken& event);
    [[nodiscard]] std::optional<state::Problem> happen(Instant at, const ForecastMade& event);
    [[nodiscard]] std::optional<state::Problem> happen(Instant at, const ProcedureClosed& event);
    [[nodiscard]] std::optional<state::Problem> happen(Instant at, const ChassisNamed& event);

    /// A baseline was kept. It is that of the work if no step had been released.
    void keep(const std::shared_ptr<const Baseline>& baseline);
    /// A round has ended.
    void look_at_whole(Look look, const View& view);
    /// A gate of its own is another than before.
    void saw(const GateFinding& gate);
    /// A gate that it ordered cannot be opened.
    void could_not_open(const std::string& gate, const state::Problem& problem);
    void restart(bool elapsed_known);
    /// What is lost, and nobody has answered for.
    [[nodiscard]] std::vector<UnrecordedLoss> lost() const;
    /// It was seen to be lost, though no answer in the journal shows it.
    void lose(const UnrecordedLoss& loss);

    [[nodiscard]] std::optional<Instant> due() const;
    void reach(Instant now);

    /// Goes on as far as it can. To be called until it orders nothing more.
    [[nodiscard]] std::vector<Order> advance(Instant now);
    /// The parts that are other than when last asked for.
    [[nodiscard]] std::vector<Finding> news();

  private:
    struct Step {
        const StepPlan* plan = nullptr; ///< in the opening
        StepFinding finding;
        bool is_guarded = false;
        bool met_since_lost = false; ///< then it is no longer what somebody answers for
        bool shows_at_once = false;  ///< its effect is that something is there, or is not
        unsigned attempt = 1;
        unsigned taken_back = 0; ///< attempts at an effect whose confirmation was taken back
    };
    using Steps = std::vector<Step>;

    template <class Self>
    [[nodiscard]] static auto current_of(Self& self) -> decltype(self.forward_.data());
    /// When the last step of the present way ended; nothing while one is under way.
    [[nodiscard]] std::optional<Instant> ended() const;
    [[nodiscard]] Step* current();
    [[nodiscard]] const Step* current() const;
    /// The step under way, if the act is upon it as it is now.
    [[nodiscard]] tl::expected<Step*, state::Problem> acted_upon(const StepAct& act);
    [[nodiscard]] std::optional<state::Problem> not_ready(Instant at, const Step& step) const;
    [[nodiscard]] const GateFinding* gate(const std::string& id) const;

    void confirm(Step& step, Instant at);
    /// The confirmation can no longer be taken back.
    void settle(Step& step, std::vector<Order>& orders);
    void open(Step& step, Instant now, std::vector<Order>& orders);
    void ask(Step& step, bool effect, std::vector<Order>& orders);
    void end_guard(Step& step);
    void end_guards(std::string_view until, std::vector<Order>& orders);
    void end_gate(const std::string& id, std::vector<Order>& orders);
    [[nodiscard]] bool is_met(Instant at, const Step& step) const;
    static void mark(Step& step) { ++step.finding.revision; }

    struct Told {
        Word word = Word::wait;
        std::string text;
        std::optional<Advice> advice;
        std::optional<Instant> valid_until;
        std::string code;
    };
    [[nodiscard]] Told tell() const;
    [[nodiscard]] std::optional<Told> stop() const;
    [[nodiscard]] std::optional<Told> stop_of_work() const;
    [[nodiscard]] std::optional<Told> call() const;
    [[nodiscard]] Told wait_or_met() const;
    [[nodiscard]] Advice advice(const std::optional<Advice>& own) const;
    /// The code of a decision at the step under way. `rule`: one with an advice of its own.
    [[nodiscard]] std::string code(Decision decision, const std::string& rule = "") const;
    /// Why what was read back is not the code of the step's release.
    [[nodiscard]] state::Problem misread(const Step& step, const std::string& read_back) const;

    std::shared_ptr<const ProcedureOpened> opening_; ///< copies of a course share it
    ProcedureFinding finding_;
    Steps forward_;
    Steps back_;
    std::size_t at_ = 0; ///< in the steps of the present phase
    std::vector<Rule> rules_;
    std::optional<Cooling> cooling_;
    RightChassis right_chassis_;
    std::optional<RightPart> right_part_; ///< if something is done in a work slot
    std::shared_ptr<const readback::CodeBook> codes_;
    std::optional<HandbackWatch> handback_; ///< if the chassis is looked at as a whole
    std::map<std::string, GateFinding, std::less<>> gates_; ///< its own, as last seen
    std::map<std::string, std::string> not_opened_;         ///< gate and why
    std::vector<Order> pending_;                            ///< of acts, for the next advance
    // As last told.
    std::optional<ProcedureFinding> told_;
    std::map<std::string, StepFinding> told_steps_;
    std::map<std::string, RuleFinding> told_rules_;
    std::optional<CoolingFinding> told_cooling_;
    ChassisFinding told_chassis_;
    std::optional<PartFinding> told_part_;
    std::shared_ptr<const HandbackFinding> told_handback_;
};

} // namespace slotwitness::witness
