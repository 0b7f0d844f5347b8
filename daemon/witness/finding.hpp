#pragma once

#include "because.hpp"
#include "procedure_finding.hpp"

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

[[nodiscard]] std::string_view to_word(Verdict value);
[[nodiscard]] std::string_view to_word(Failure value);
[[nodiscard]] std::string_view to_word(Standing value);

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

/// Another controller is in charge than before, by the device's own listing, or another address of
/// the chassis answers: within one run of the daemon.
struct SwitchedOver {
    enum class Of { controller, address };
    Of of = Of::controller;
    std::string from, to;
    friend bool operator==(const SwitchedOver&, const SwitchedOver&) = default;
};
[[nodiscard]] std::string_view to_word(SwitchedOver::Of value);

using Finding =
    std::variant<GateFinding, RoundMissed, GateRefused, InventoryFixed, BaselineFixed,
                 ProcedureFinding, StepFinding, RuleFinding, CoolingFinding, HandbackFinding,
                 ProcedureRefused, ChassisFinding, PartFinding, SwitchedOver>;

} // namespace slotwitness::witness
