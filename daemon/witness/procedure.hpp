#pragma once

#include "handback_finding.hpp"

#include <slotwitness/units/quantity.hpp>
#include <slotwitness/units/time.hpp>

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

/// A procedure as the witness holds people to it: its texts filled with what was given at the
/// opening, its sentences canonical. And what people do to one under way. The journal stores these.
namespace slotwitness::witness {

using units::Duration;

/// A sentence with what a look of it asks.
struct SentencePlan {
    std::string sentence;             ///< canonical
    std::vector<std::string> askings; ///< sorted, at least one
    Duration gap{0};                  ///< G, > 0
    Duration refresh{0};              ///< R, the largest among its queries
    friend bool operator==(const SentencePlan&, const SentencePlan&) = default;
};

/// "If it goes wrong here": what STOP and CALL show.
struct Advice {
    std::string first; ///< "freeze", "finish seating", "put back", "call"
    std::string say;
    friend bool operator==(const Advice&, const Advice&) = default;
};

/// One act of a person. Fact, release, act and its confirmation, effect: in this order.
struct StepPlan {
    std::string name;
    bool technician = false; ///< acts; else the engineer does
    std::string act;
    std::optional<std::string> confirm; ///< what only eyes see
    std::vector<std::string> cautions;
    Advice if_wrong;
    SentencePlan fact;
    std::optional<SentencePlan> effect;
    std::string until;  ///< once released the fact is guarded until that step opens; empty: it is
                        ///< not, for the act may end it
    std::string undoes; ///< of a step back: taken only if that one had been released
    std::optional<Duration> takes; ///< from its opening to its end, as rehearsed
    friend bool operator==(const StepPlan&, const StepPlan&) = default;
};

/// What must hold throughout, from one step's opening to another's.
struct RulePlan {
    std::string name;
    std::string say;
    SentencePlan holds; ///< without hold and deadline
    std::string from;   ///< empty: the first step
    std::string until;  ///< empty: to the end
    std::optional<Advice> if_wrong;
    friend bool operator==(const RulePlan&, const RulePlan&) = default;
};

/// A sensor that may warm while the tray is out.
struct WarmPlan {
    std::string sensor;
    std::optional<units::Decimal> hottest; ///< °C that it must not reach; nothing: what the device
                                           ///< states of it
    std::vector<std::string> askings;      ///< keys of what tells it, sorted
    Duration refresh{0};                   ///< R, the largest among them
    friend bool operator==(const WarmPlan&, const WarmPlan&) = default;
};

/// Cooling is reduced from one step's act to the look that shows the tray operational.
struct CoolingPlan {
    std::string tray;
    SentencePlan back;  ///< `fan-tray TRAY2 operational`; its answers also tell whether it is there
    std::string begins; ///< the step that takes the tray out
    std::string ends;   ///< the step that puts it back
    std::string out;    ///< the step that takes the old part out; empty: nobody turns back
    Duration limit{0};  ///< > 0
    std::vector<WarmPlan> warm{};    ///< whose forecasts may shorten it; may be empty
    std::optional<Duration> takes{}; ///< as rehearsed, from the old part's leaving to the tray's
                                     ///< return; nothing: as the steps say
    friend bool operator==(const CoolingPlan&, const CoolingPlan&) = default;
};

struct ProcedureOpened {
    std::string id;
    std::string title;
    std::string text; ///< digest of the procedure's file in the journal
    std::map<std::string, std::string> arguments;
    std::vector<StepPlan> steps;    ///< at least one
    std::vector<StepPlan> back_out; ///< in the order in which they are taken
    std::vector<RulePlan> rules;
    std::optional<CoolingPlan> cooling;
    std::vector<std::string> whole; ///< what a whole look at the chassis asks, sorted
    HandbackPlan handback;          ///< of no use without `whole`
    std::string by;
    std::string ticket, window, approver; ///< of the change, as people gave them; may be empty
    std::string idempotency_key;
    std::string chassis;        ///< its name; read-back codes are derived from it
    bool right_chassis = false; ///< no technician's step is released before it is known that they
                                ///< stand at this one
    Duration undo{0}; ///< for so long a confirmation can be taken back, and the next step waits
    std::vector<std::string> warnings{}; ///< about the way of watching, each a sentence
    friend bool operator==(const ProcedureOpened&, const ProcedureOpened&) = default;
};

/// What somebody does to a step, and which state of it they had before their eyes: an act upon
/// another state than the present one is refused, so that nothing is done twice.
struct StepAct {
    std::string procedure;
    std::string step;
    std::uint64_t revision = 0; ///< of the step, as its finding told it
    std::string by;
    friend bool operator==(const StepAct&, const StepAct&) = default;
};
/// The engineer's go. Only upon a fact that is met now.
struct StepReleased {
    StepAct act;
    friend bool operator==(const StepReleased&, const StepReleased&) = default;
};
/// It was done.
struct StepConfirmed {
    StepAct act;
    std::string on_behalf_of; ///< who said so by voice; empty: `by` did it
    std::string read_back{};  ///< the code that was read back; empty: none was asked for
    friend bool operator==(const StepConfirmed&, const StepConfirmed&) = default;
};
/// It was not done after all: the confirmation is taken back, in time.
struct StepUnconfirmed {
    StepAct act;
    friend bool operator==(const StepUnconfirmed&, const StepUnconfirmed&) = default;
};
/// What the step waits for failed at its deadline; it is asked anew.
struct StepTriedAgain {
    StepAct act;
    friend bool operator==(const StepTriedAgain&, const StepTriedAgain&) = default;
};
/// A named person goes on without what the step waits for; it never shows STATE MET.
struct StepForced {
    StepAct act;
    bool skipped = false; ///< it is not done at all; else its fact, or its effect, is passed over
    std::string reason;   ///< not empty
    friend bool operator==(const StepForced&, const StepForced&) = default;
};

/// The technician reads the last characters of the chassis' serial from the rack.
struct ChassisNamed {
    std::string procedure;
    std::string serial_end;
    std::string by;
    std::string on_behalf_of; ///< who read it by voice; empty: `by` did
    friend bool operator==(const ChassisNamed&, const ChassisNamed&) = default;
};

/// Somebody takes the responsibility for what stopped the work.
struct StopAnswered {
    enum class Of { rule, step, cooling, chassis, serial };
    std::string procedure;
    Of of = Of::rule;
    std::string name; ///< of the rule, or of the step whose guarded fact was lost; else empty
    std::string by;
    std::string reason; ///< not empty
    friend bool operator==(const StopAnswered&, const StopAnswered&) = default;
};

/// A rule, or a step's guarded fact, was seen to be lost by answers that the journal could not
/// take.
struct UnrecordedLoss {
    std::string procedure;
    StopAnswered::Of of = StopAnswered::Of::rule; ///< or a step
    std::string name;
    friend bool operator==(const UnrecordedLoss&, const UnrecordedLoss&) = default;
};

/// A named person takes it upon them that a part is not as it was.
struct DifferenceWaived {
    std::string procedure;
    Component component; ///< one that the handback names
    std::string by;
    std::string reason; ///< not empty
    friend bool operator==(const DifferenceWaived&, const DifferenceWaived&) = default;
};

struct BackOutBegun {
    std::string procedure;
    std::string by;
    std::string reason; ///< not empty
    friend bool operator==(const BackOutBegun&, const BackOutBegun&) = default;
};
struct ShiftTaken {
    std::string procedure;
    std::string by;
    friend bool operator==(const ShiftTaken&, const ShiftTaken&) = default;
};

enum class Closing { done, backed_out, closed_degraded };

struct ProcedureClosed {
    std::string procedure;
    Closing outcome = Closing::done;
    std::string by;
    std::string ticket; ///< with Closing::closed_degraded: where it goes on
    std::string reason; ///< as `ticket`
    friend bool operator==(const ProcedureClosed&, const ProcedureClosed&) = default;
};

/// What the looks of rounds `from` to `to` say of a sensor while a cooling clock runs.
struct ForecastMade {
    std::string procedure;
    std::string sensor;
    /// It may reach its hottest from then on, no earlier: this can only shorten the clock. Nothing:
    /// nobody can say.
    std::optional<units::Instant> at;
    /// In one sentence. Without `at` why nobody can say: the sensor tells no temperature, and a
    /// sensor that is not seen is not a cool one. Empty: it tells one again.
    std::string because;
    std::uint64_t from = 0;
    std::uint64_t to = 0;
    friend bool operator==(const ForecastMade&, const ForecastMade&) = default;
};

} // namespace slotwitness::witness
