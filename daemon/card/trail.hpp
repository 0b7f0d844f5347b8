#pragma once

#include <slotwitness/witness/finding.hpp>

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace slotwitness::card {

using units::Instant;

/// What somebody did to the procedure, and the witness took.
struct Deed {
    enum class Kind {
        shift_taken,
        chassis_named,
        unconfirmed,
        tried_again,
        forced,
        skipped,
        stop_answered,
        waived,
        backed_out,
        closed
    };
    Instant at;
    Kind kind = Kind::closed;
    std::string of; ///< the step, the rule, "cooling clock", "right chassis"; may be empty
    std::string by, on_behalf_of;
    std::string reason; ///< or what was read
    friend bool operator==(const Deed&, const Deed&) = default;
};
[[nodiscard]] std::string_view to_word(Deed::Kind value);

/// What must hold was seen to be lost.
struct Loss {
    Instant at;
    witness::StopAnswered::Of of = witness::StopAnswered::Of::rule;
    std::string name; ///< of the rule or the step; else empty
    std::string text;
    std::vector<witness::Cite> cites;
};

/// CALL or STOP was shown.
struct Alert {
    witness::Word word = witness::Word::stop;
    std::string step;
    std::string text; ///< as it was first told
    Instant began;
    std::optional<Instant> ended; ///< nothing: it is still shown, or was at the end
};

/// The fan tray was out once.
struct CoolingRun {
    Instant began;
    std::optional<Instant> ended;
    std::optional<Instant> limit; ///< what counted last: the plan's or an earlier one
    std::string shortened;        ///< by which forecast
    bool passed = false;
};

/// Another controller, or another address, than before.
struct Switchover {
    Instant at;
    witness::SwitchedOver what;
};

/// A whole answer.
struct Heard {
    std::string asking;
    std::string capture;
    Instant answered;
    std::shared_ptr<const state::Reading> reading;
};

/// What became of one procedure on the way, which its newest findings no longer tell.
class Trail {
  public:
    /// The events of the chassis from the procedure's opening on, in order, each with what followed
    /// from it; answers with their readings. What comes after the closing is passed over.
    void take(const std::string& procedure, const witness::Event& event,
              const std::vector<witness::Finding>& findings);

    std::vector<Deed> deeds;
    std::vector<Loss> losses;
    std::vector<Alert> alerts;
    std::vector<CoolingRun> cooling;
    std::vector<Instant> restarts; ///< of the daemon: holds began again
    std::vector<Switchover> switchovers;
    std::map<std::string, witness::GateFinding> gates; ///< of its steps, by id
    std::map<std::string, Heard> newest;               ///< whole answers, by asking
    std::optional<witness::BaselineFixed> baseline;    ///< the first since the opening
    std::map<std::string, Heard> in_baseline;
    std::optional<Instant> last; ///< instant of the newest event that was taken
    bool closed = false;

  private:
    void note(const witness::Event& event);
    void note(const std::string& procedure, Instant at, const witness::Finding& finding);
    void note(Instant at, const witness::CoolingFinding& clock);
    void note(Instant at, const witness::ProcedureFinding& told);
    void lost(bool is_lost, Loss loss);

    std::map<std::string, bool> lost_; ///< by what it is of and its name
};

} // namespace slotwitness::card
