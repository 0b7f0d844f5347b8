#pragma once

#include "because.hpp"
#include "procedure.hpp"

/// What there is to say of a procedure under way. The newest finding of each part is its public
/// state.
namespace slotwitness::witness {

/// How far a step is.
enum class Stage {
    waiting,   ///< for the step before it
    fact,      ///< its gate is open
    released,  ///< the act may be done
    confirmed, ///< the act was done, its effect is waited for
    done,
    skipped,
};
[[nodiscard]] std::string_view to_word(Stage value);

struct StepFinding {
    std::string procedure;
    std::string name;
    std::uint64_t revision = 1; ///< moves with whatever somebody could act upon
    Stage stage = Stage::waiting;
    std::string fact;   ///< the gate's id, once it is open
    std::string effect; ///< as `fact`
    std::optional<Instant> opened, released, confirmed, ended;
    std::optional<Instant> undo_until; ///< while confirmed: until when that can be taken back
    std::string released_by, confirmed_by, on_behalf_of;
    std::string unconfirmed_by;    ///< who took a confirmation back, last
    std::string forced_by, reason; ///< what was passed over, last
    bool lost = false;             ///< its guarded fact is no longer met, and nobody has answered
    bool accepted = false;         ///< as `lost`, but somebody has
    std::string answered_by, answer;
    std::string code;       ///< of its release: what is read back before the act
    bool read_back = false; ///< it was, with the confirmation
    friend bool operator==(const StepFinding&, const StepFinding&) = default;
};

struct RuleFinding {
    std::string procedure;
    std::string name;
    bool active = false;
    Truth truth = Truth::unknown; ///< of the last look
    Because because;
    std::optional<Look> last_look;
    std::optional<Instant> valid_until; ///< nothing: no look counts yet
    bool lost = false;                  ///< it was false, and nobody has answered
    bool accepted = false;              ///< somebody has, and it was not true since
    std::string answered_by, answer;
    friend bool operator==(const RuleFinding&, const RuleFinding&) = default;
};

struct CoolingFinding {
    std::string procedure;
    std::optional<Instant> began, ended;
    std::optional<Instant> limit;     ///< while it runs: when the tray must be back
    std::optional<Instant> turn_back; ///< while the old part is in: when the tray goes back at once
    std::string shortened;            ///< by which forecast, in one sentence
    std::map<std::string, std::string> unseen; ///< sensors that tell no temperature and
                                               ///< why, until somebody has answered for it
    bool passed = false;                       ///< the limit, and nobody has answered
    bool accepted = false;                     ///< as `passed`, but somebody has
    bool turning_back = false;                 ///< the old part was not out in time
    std::string answered_by, answer;
    friend bool operator==(const CoolingFinding&, const CoolingFinding&) = default;
};

/// At which chassis the technician stands.
struct ChassisFinding {
    std::string procedure;
    std::string read;     ///< the end of its serial, as read from the rack last
    std::string reported; ///< as much of the one that the device reports; empty: it is not known
    Truth same = Truth::unknown;  ///< whether they are
    std::optional<Instant> named; ///< when it was read
    std::string by, on_behalf_of;
    bool lost = false;     ///< it was another, and nobody has answered
    bool accepted = false; ///< it is another, or not known, and somebody has
    std::string answered_by, answer;
    friend bool operator==(const ChassisFinding&, const ChassisFinding&) = default;
};

/// The one word for the person at the rack.
enum class Word { state_met, wait, call, stop };
[[nodiscard]] std::string_view to_word(Word value); ///< "STATE MET", "WAIT", "CALL", "STOP"

enum class Phase { forward, backing_out, closed };
[[nodiscard]] std::string_view to_word(Phase value);
[[nodiscard]] std::string_view to_word(Closing value);
[[nodiscard]] std::string_view to_word(StopAnswered::Of value);

struct ProcedureFinding {
    std::string id;
    std::string title;
    Phase phase = Phase::forward;
    std::optional<Closing> outcome; ///< once closed
    std::string step;               ///< under way; empty once the last one has ended
    Word word = Word::wait;
    std::string text;             ///< one sentence
    std::optional<Advice> advice; ///< with CALL and STOP
    Instant opened;
    std::optional<Instant> closed;
    std::string in_charge; ///< who opened it, or took the shift last
    /// With STATE MET: until when it may be shown; afterwards it is WAIT.
    std::optional<Instant> valid_until;
    std::string code; ///< to be read back; empty with WAIT, upon which nobody acts
    friend bool operator==(const ProcedureFinding&, const ProcedureFinding&) = default;
};

/// What somebody wanted to do to a procedure was not done. Nothing has changed.
struct ProcedureRefused {
    std::string procedure;
    state::Problem problem;
};

} // namespace slotwitness::witness
