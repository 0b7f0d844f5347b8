#pragma once

#include "event.hpp"
#include "truth.hpp"

#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace slotwitness::witness {

/// Decided once.
enum class Verdict { pending, pass, fail, cancelled };
/// Why a failed gate failed.
enum class Failure {
    seen_false, ///< it would have failed even had every unknown or missed look been true
    not_seen,   ///< it would have passed, or still could, had they been true
};
/// What a passed gate is now.
enum class Standing { met, settling, lost, unseen };

/// The code of `because`: replay compares it, prose may change.
enum class Reason {
    not_looked_yet, ///< no look since it was opened
    true_now,       ///< the condition is true (and held, if it must be)
    holding,        ///< true, not yet for long enough
    false_now,      ///< the device reports otherwise
    unknown_word,   ///< the device printed a word that the profile does not declare, or its own
                    ///< unknown
    not_read,       ///< a line that nobody read stands in the way
    not_whole,      ///< the answer was cut or refused
    not_proven,     ///< the profile was not tried with the device's software
    contradiction,  ///< two rows disagree
    not_listed,     ///< absent where that leaves the condition unknown
    no_inventory,   ///< the name was never seen and there is no inventory yet
    nothing_to_range_over, ///< `every` or `at most` over nothing
    fact_missing,          ///< the answers carry no such fact for it
    no_baseline,           ///< nothing was kept to compare with
    nothing_earlier,       ///< no earlier look to compare with, or none that is surely older
    no_answer,             ///< a query of the look failed
    state_moved,           ///< last-changed, uptime or flap count moved between two looks
    missed_look,           ///< a round brought no answer or was overdue
    gap,                   ///< too long between two looks
    deadline_passed,       ///< no later look can meet it
    time_unknown,          ///< the time between two runs cannot be known
    cancelled,
};

[[nodiscard]] std::string_view to_word(Verdict value);
[[nodiscard]] std::string_view to_word(Failure value);
[[nodiscard]] std::string_view to_word(Standing value);
[[nodiscard]] std::string_view to_word(Reason value);

/// A line of an answer that a finding rests on.
struct Cite {
    std::string asking;
    std::string capture;
    state::Position at;
    std::string text; ///< the line as the device printed it
    friend bool operator==(const Cite&, const Cite&) = default;
};

struct Because {
    Reason reason = Reason::not_looked_yet;
    std::string text; ///< prose for a person, one sentence
    std::vector<Cite> cites;
    friend bool operator==(const Because&, const Because&) = default;
};

/// A look of a gate: a = asked, b = answered.
struct Look {
    Instant asked;
    Instant answered;
    friend bool operator==(const Look&, const Look&) = default;
};

/// Everything there is to say of a gate after a step: the newest one of a gate is its public state.
struct GateFinding {
    std::string id;
    std::string sentence;
    Verdict verdict = Verdict::pending;
    std::optional<Failure> failure;   ///< with Verdict::fail
    std::optional<Standing> standing; ///< with Verdict::pass, until it retires
    Truth truth = Truth::unknown;     ///< of the last look
    Because because;
    Instant opened;
    std::optional<Instant> deadline;
    std::optional<Instant> decided;
    std::optional<Look> last_look; ///< the last one that counted
    Duration held{0};              ///< of the present run: a_n − R − b_i, not below 0
    Duration needs{0};             ///< H, 0 without `for`
    bool guarded = false;          ///< passed and still looked after
    bool retired = false;          ///< no further look changes it
    /// Until when this may be shown as it stands; afterwards truth is unknown and a standing is
    /// unseen.
    Instant valid_until;
    friend bool operator==(const GateFinding&, const GateFinding&) = default;
};

/// A round brought no answer, or ran over a gate's G.
struct RoundMissed {
    RoundNumber round = 0;
    std::vector<std::string> gates; ///< whose look it was
    std::string text;
    friend bool operator==(const RoundMissed&, const RoundMissed&) = default;
};

/// The gate cannot be opened; it does not exist afterwards.
struct GateRefused {
    std::string id;
    state::Problem
        problem; ///< e.g. a name that was never in the inventory; `expected` lists the names seen
};

/// The reference inventory of a kind was fixed by the first whole look.
struct InventoryFixed {
    state::Kind kind = state::Kind::plane;
    std::vector<std::string> names;
    friend bool operator==(const InventoryFixed&, const InventoryFixed&) = default;
};

/// The baseline is what this round saw, from now on.
struct BaselineFixed {
    RoundNumber round = 0;
    Instant at;                                  ///< when its last answer came
    std::map<std::string, std::string> captures; ///< of each asking that is part of it
    std::string by;                              ///< who wanted it
    friend bool operator==(const BaselineFixed&, const BaselineFixed&) = default;
};

using Finding = std::variant<GateFinding, RoundMissed, GateRefused, InventoryFixed, BaselineFixed>;

} // namespace slotwitness::witness
