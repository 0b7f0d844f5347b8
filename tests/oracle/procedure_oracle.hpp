#pragma once

#include "oracle.hpp"

#include <set>

/// A second judge of procedures, written from the rules alone: it shares nothing with the witness.
/// The gates of the steps are judged by the judge of gates; all else is read again from the whole
/// list of what happened, each time somebody asks.
namespace slotwitness::oracle {

struct Step {
    Gate fact;
    std::optional<Gate> effect;
    bool technician = false;
    std::optional<std::size_t> until; ///< a later step forward; none: it is not guarded
    std::size_t undoes = 0;           ///< of a step back: a step forward
    std::optional<Time> takes;
};

struct Rule {
    Gate holds; ///< of it condition, needs, gap and refresh
    std::optional<std::size_t> from, until;
};

/// The tray's two facts are those of the queries `works` and `out`, answered at once.
struct Cooling {
    Time refresh = 0;
    std::size_t begins = 0, ends = 0;
    std::optional<std::size_t> out; ///< not after `ends`
    Time limit = 1;
};

struct Procedure {
    Asking works = 0, out = 0; ///< what the tray's two facts are called
    std::vector<Step> steps, back_out;
    std::vector<Rule> rules;
    std::optional<Cooling> cooling;
    bool right_chassis = false; ///< no technician's step before it is known where they stand
    Time undo = 0;              ///< for so long a confirmation can be taken back
};

struct StepAt {
    bool back = false;
    std::size_t number = 0;
    friend auto operator<=>(const StepAt&, const StepAt&) = default;
};

/// What people do.
enum class Deed {
    none, ///< it is the device or the daemon that does something
    opened,
    released,
    confirmed,
    unconfirmed,
    tried_again,
    forced,
    skipped,
    rule_answered,
    step_answered,
    clock_answered,
    back_out,
    shift_taken,
    forecast,
    closed_done,
    closed_backed_out,
    closed_degraded,
    chassis_named,
    chassis_answered,
    gate_opened, ///< somebody else's, under the name of the step's own
    gate_closed, ///< the one of that name
};

struct Happened {
    Event event;                ///< with a deed only its `at` counts
    Truth out = Truth::unknown; ///< answered about the tray: it is not there; `fact`: it works
    Deed deed = Deed::none;
    StepAt step;
    bool effect = false; ///< gate_opened, gate_closed: that of the effect
    std::size_t rule = 0;
    std::size_t ago = 1;  ///< the person saw the step as it was after so many happenings before
    bool complete = true; ///< who, why and where it goes on are said
    Time forecast = 0;
    int who = 0;    ///< shift_taken
    int serial = 0; ///< chassis_named: what is read from the rack; below 1000 it is too short
    /// confirmed: whether a code was read back, and the right one.
    enum class ReadBack { nothing, right, wrong } read_back = ReadBack::nothing;
    /// run_started: what people were shown to be lost while nothing could be recorded.
    std::vector<std::size_t> lost_rules{};
    std::vector<StepAt> lost_steps{};
};

enum class Stage { waiting, fact, released, confirmed, done, skipped };
enum class Phase { forward, backing_out, closed };
enum class Word { state_met, wait, call, stop };
enum class Closing { done, backed_out, closed_degraded };

struct StepTold {
    Stage stage = Stage::waiting;
    std::optional<Time> opened, released, confirmed, ended;
    std::optional<Verdict> fact, effect; ///< of its newest gates
    bool lost = false, accepted = false;
    friend bool operator==(const StepTold&, const StepTold&) = default;
};
struct RuleTold {
    bool active = false;
    Truth truth = Truth::unknown; ///< unknown while it is not active
    bool lost = false, accepted = false;
    friend bool operator==(const RuleTold&, const RuleTold&) = default;
};
struct CoolingTold {
    std::optional<Time> began, ended, limit, turn_back;
    bool passed = false, accepted = false, turning_back = false;
    friend bool operator==(const CoolingTold&, const CoolingTold&) = default;
};

struct ChassisTold {
    std::optional<int> read;
    Truth same = Truth::unknown;
    bool lost = false, accepted = false;
    friend bool operator==(const ChassisTold&, const ChassisTold&) = default;
};

/// Everything that must be said of a procedure.
struct Told {
    bool refused = false; ///< what was wanted last
    bool open = false;    ///< it was opened; it may be closed again
    Phase phase = Phase::forward;
    std::optional<Closing> outcome;
    std::optional<StepAt> step;
    Word word = Word::wait;
    std::optional<Time> valid_until; ///< with STATE MET
    int in_charge = 0;
    std::vector<StepTold> steps, back_out; ///< as planned, also those that are not taken
    std::vector<RuleTold> rules;
    CoolingTold cooling;
    ChassisTold chassis;
    friend bool operator==(const Told&, const Told&) = default;
};

class Judge {
  public:
    explicit Judge(Procedure procedure);

    /// In order of time.
    void happen(const Happened& happened);
    [[nodiscard]] const Told& told() const { return told_; }

  private:
    /// A gate of a step, from the round under way as it was opened.
    struct Kept {
        Gate gate;
        StepAt step;
        bool effect = false;
        int attempt = 1;
        std::size_t from = 0; ///< in events_
        bool closed = false;
        Said said;
    };
    /// Something that people did and that was not refused.
    struct Done {
        Deed deed = Deed::none;
        StepAt step;
        std::size_t rule = 0;
        bool over_effect = false; ///< forced: the effect was passed over
        Time at = 0;
        Time forecast = 0;
        int serial = 0;
        std::size_t position = 0; ///< of the first event after it
    };
    /// A rule that was seen to be lost, though no answer that was recorded shows it.
    struct Unrecorded {
        std::size_t rule = 0;
        std::size_t event = 0; ///< the start that tells it
    };
    struct Opening {
        StepAt step;
        Time at = 0;
        std::size_t position = 0;
    };
    struct Latch {
        bool lost = false, accepted = false, met_since = false;
        int answers = 0;
    };
    /// All of a step that somebody could act upon.
    struct Seen {
        Stage stage;
        int facts, effects;
        Verdict fact, effect;
        bool lost;
        int answers;
        int taken_back; ///< confirmations
        friend bool operator==(const Seen&, const Seen&) = default;
    };

    [[nodiscard]] const Step& plan(StepAt step) const;
    [[nodiscard]] const Done* find(Deed deed, std::optional<StepAt> step = {}) const;
    [[nodiscard]] const Done* closing() const;
    [[nodiscard]] const Opening* opening(StepAt step) const;
    [[nodiscard]] const Kept* gate(StepAt step, bool effect) const;
    [[nodiscard]] std::optional<Verdict> verdict(StepAt step, bool effect) const;
    [[nodiscard]] int count(Deed deed, StepAt step) const;
    [[nodiscard]] const Done* confirmed(StepAt step) const;
    [[nodiscard]] bool may_be_taken_back(const Done& confirmed) const;
    [[nodiscard]] int attempts(StepAt step, bool effect) const;
    [[nodiscard]] bool could_not_open(StepAt step, bool effect) const;
    [[nodiscard]] StepTold stands(StepAt step) const;
    [[nodiscard]] std::vector<StepAt> way() const;
    [[nodiscard]] std::optional<StepAt> current() const;
    [[nodiscard]] bool is_guarded(StepAt step) const;
    [[nodiscard]] bool ends(const Kept& kept) const;
    [[nodiscard]] std::optional<Time> fresh_until(const Kept& kept) const;

    void add(Event event, Time at);
    void moment(Time now, bool after_event);
    void settle(Time at);
    void open(StepAt step, bool effect, Time at);
    [[nodiscard]] bool may(const Happened& happened, const Told& before) const;
    [[nodiscard]] bool may_release(StepAt step, Time at, const Told& before) const;
    void carry_out(const Happened& happened);
    [[nodiscard]] Seen seen(StepAt step) const;

    struct Judged {
        RuleTold told;
        std::optional<Time> valid_until;
    };
    [[nodiscard]] Judged rule(std::size_t number, Time now) const;
    [[nodiscard]] CoolingTold cooling(Time now) const;
    [[nodiscard]] ChassisTold chassis() const;
    [[nodiscard]] bool stopped(const Told& told) const;
    [[nodiscard]] bool calls(const Told& told) const;
    [[nodiscard]] std::optional<Time> met_until(const Told& told, Time now) const;
    [[nodiscard]] Told tell(Time now) const;

    Procedure procedure_;
    std::vector<StepAt> all_steps_; ///< forward, then back
    std::vector<Event> events_;     ///< of the device, the daemon and the gates
    std::vector<Kept> gates_;
    std::vector<Done> done_;
    std::vector<Unrecorded> unrecorded_;
    std::vector<Opening> openings_;
    std::map<StepAt, Latch> latches_;
    std::set<std::pair<StepAt, bool>> taken_, given_; ///< names, by others and by the procedure
    std::vector<std::map<StepAt, Seen>> history_;     ///< after each happening
    Time now_ = 0;
    int in_charge_ = 0;
    Told told_;
};

} // namespace slotwitness::oracle
