#pragma once

#include "counters.hpp"
#include "evaluate.hpp"
#include "event.hpp"
#include "finding.hpp"
#include "run.hpp"
#include "signs.hpp"

#include <slotwitness/sentences/sentence.hpp>

#include <optional>
#include <span>
#include <string>

namespace slotwitness::witness {

/// A round of queries under way, as much of it as a gate must know.
struct RoundBegun {
    RoundNumber number = 0;
    Instant started;
    const std::vector<std::string>& askings;
};

/// One gate: its looks, hold, gap, deadline, verdict and standing. Every call comes in order of
/// time.
class Gate {
  public:
    Gate(GateOpened opening, sentences::Sentence sentence, Instant opened);

    [[nodiscard]] const GateOpened& opening() const { return opening_; }
    [[nodiscard]] const GateFinding& finding() const { return finding_; }
    [[nodiscard]] bool live() const { return !finding_.retired; }

    /// The round asks all that the gate needs, and neither was a look of it yet nor missed.
    [[nodiscard]] bool may_look(const RoundBegun& round) const;
    /// Such a round, begun when the gate was open: missed once it is overdue. A round begun before
    /// may have been asked before, so nothing is missed with it.
    [[nodiscard]] bool awaits(const RoundBegun& round) const;

    /// A look counts: asked at or after the opening. What the gate itself remembers of earlier
    /// looks is added to the grounds.
    void look(RoundNumber round, Look look, Grounds grounds);
    /// A look all of whose queries failed.
    void unanswered(RoundNumber round, Look look, std::string_view why);
    /// A round that is overdue, superseded by the next, or ended with its run: it is no look any
    /// more, even if its answers come.
    void overdue(const RoundBegun& round, std::string_view why);

    /// Readings are discarded; the hold starts again.
    void restart(Instant at, bool elapsed_known);
    void close(Instant at, std::string_view by);

    /// The next instant at which something falls due by itself; it may lie in the past.
    [[nodiscard]] std::optional<Instant> due() const;
    /// Does what is due at `now`.
    void reach(Instant now);

  private:
    enum class Broken { no, gap, moved, rebased };

    [[nodiscard]] Duration needs() const { return finding_.needs; }
    /// The latest b_i from which the hold can still be met in time. Only with a deadline.
    [[nodiscard]] Instant latest_start() const {
        return *finding_.deadline - needs() - opening_.refresh;
    }
    [[nodiscard]] std::optional<Instant> fails_at() const;
    [[nodiscard]] std::optional<Instant> lapses_at() const;
    [[nodiscard]] std::optional<Instant> retires_at() const;

    void hope(Look look, bool gap_counts);
    void miss(RoundNumber round, std::string_view why);
    void pass(Instant at);
    void fail(Instant at, Failure failure, Reason reason, std::string_view text);
    [[nodiscard]] Failure failure(Instant at) const;
    void retire();
    void stand(Truth truth, bool met);
    void take_back();
    void say_holding(Look look, bool met, Broken broken, bool all_tell);

    GateOpened opening_;
    sentences::Sentence sentence_;
    GateFinding finding_;
    RoundNumber last_round_ = 0; ///< that was a look or was missed; rounds number from 1
    Signs signs_;
    Counters counters_;
    bool compares_;            ///< with the baseline
    RoundNumber baseline_ = 0; ///< of the last look; 0: there was none
    Run run_;
    // The same gate in a world where every unknown or missed look was true.
    Run hopeful_;
    bool hopeful_passed_ = false;
    bool seen_false_ = false;
};

} // namespace slotwitness::witness
