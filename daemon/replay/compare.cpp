#include "reread.hpp"

#include <algorithm>

namespace slotwitness::replay {

namespace {

using namespace witness;

/// Identity covers verdict, standing, times, reason code and the lines referred to, not prose.
template <class Judged>
Judged without_prose(Judged finding) {
    finding.because.text.clear();
    return finding;
}

bool same(const GateFinding& left, const GateFinding& right) {
    return without_prose(left) == without_prose(right);
}
bool same(const RoundMissed& left, const RoundMissed& right) {
    return left.round == right.round && left.gates == right.gates;
}
bool same(const GateRefused& left, const GateRefused& right) {
    return left.id == right.id;
}
bool same(const InventoryFixed& left, const InventoryFixed& right) {
    return left == right;
}
bool same(const BaselineFixed& left, const BaselineFixed& right) {
    return left == right;
}

bool same(const SwitchedOver& left, const SwitchedOver& right) {
    return left == right;
}

bool same(ProcedureFinding left, const ProcedureFinding& right) {
    left.text = right.text;
    return left == right;
}
bool same(const StepFinding& left, const StepFinding& right) {
    return left == right;
}
bool same(const RuleFinding& left, const RuleFinding& right) {
    return without_prose(left) == without_prose(right);
}
bool same(const CoolingFinding& left, const CoolingFinding& right) {
    return left == right;
}
bool same(const ChassisFinding& left, const ChassisFinding& right) {
    return left == right;
}
bool same(const PartFinding& left, const PartFinding& right) {
    return left == right;
}
bool same(HandbackFinding left, HandbackFinding right) {
    for (HandbackFinding* finding : {&left, &right})
        for (HandbackItem& item : finding->items)
            item.why.clear();
    return left == right;
}
bool same(const ProcedureRefused& left, const ProcedureRefused& right) {
    return left.procedure == right.procedure;
}

std::string told(const Finding& finding) {
    return std::visit(
        [](const auto& what) -> std::string {
            using Type = std::decay_t<decltype(what)>;
            if constexpr (std::is_same_v<Type, GateFinding>)
                return "gate " + what.id + " " + std::string(to_word(what.verdict)) +
                       (what.standing ? ", " + std::string(to_word(*what.standing)) : "") + ", " +
                       std::string(to_word(what.because.reason)) + ", held " +
                       units::to_text(what.held);
            else if constexpr (std::is_same_v<Type, RoundMissed>)
                return "round " + std::to_string(what.round) + " missed";
            else if constexpr (std::is_same_v<Type, GateRefused>)
                return "gate " + what.id + " refused";
            else if constexpr (std::is_same_v<Type, ProcedureFinding>)
                return "procedure " + what.id + " " + std::string(to_word(what.word)) +
                       (what.step.empty() ? "" : " at step " + what.step) +
                       (what.code.empty() ? "" : ", code " + what.code);
            else if constexpr (std::is_same_v<Type, StepFinding>)
                return "step " + what.name + " " + std::string(to_word(what.stage));
            else if constexpr (std::is_same_v<Type, RuleFinding>)
                return "rule " + what.name + " " + std::string(to_word(what.truth)) +
                       (what.lost ? ", lost" : "");
            else if constexpr (std::is_same_v<Type, CoolingFinding>)
                return std::string("cooling clock ") + (what.passed ? "run out" : "not run out");
            else if constexpr (std::is_same_v<Type, ChassisFinding>)
                return "right chassis " + std::string(to_word(what.same));
            else if constexpr (std::is_same_v<Type, PartFinding>)
                return "right part " + std::string(to_word(what.right));
            else if constexpr (std::is_same_v<Type, HandbackFinding>)
                return "handback of procedure " + what.procedure;
            else if constexpr (std::is_same_v<Type, ProcedureRefused>)
                return "procedure " + what.procedure + " refused something";
            else if constexpr (std::is_same_v<Type, SwitchedOver>)
                return "switchover from " + what.from + " to " + what.to;
            else if constexpr (std::is_same_v<Type, BaselineFixed>)
                return "baseline fixed by round " + std::to_string(what.round);
            else
                return "inventory of " + std::string(state::to_word(what.kind)) + " fixed";
        },
        finding);
}

bool same(const Finding& left, const Finding& right) {
    return std::visit(
        [&](const auto& what) {
            const auto* other = std::get_if<std::decay_t<decltype(what)>>(&right);
            return other && same(what, *other);
        },
        left);
}

} // namespace

std::optional<std::string> compare(const std::vector<Finding>& recorded,
                                   const std::vector<Finding>& recomputed) {
    const std::size_t both = std::min(recorded.size(), recomputed.size());
    for (std::size_t i = 0; i < both; ++i)
        if (!same(recorded[i], recomputed[i])) {
            const std::string was = told(recorded[i]);
            const std::string is = told(recomputed[i]);
            return "recorded: " + was + "; recomputed: " +
                   (was == is ? "the same, but at another time or by another line of an answer"
                              : is);
        }
    if (recorded.size() > both)
        return "recorded: " + told(recorded[both]) + "; recomputed: nothing";
    if (recomputed.size() > both)
        return "recorded: nothing; recomputed: " + told(recomputed[both]);
    return std::nullopt;
}

} // namespace slotwitness::replay
