#pragma once

#include "oracle.hpp"

#include <string>
#include <vector>

/// How the oracle's numbers read to a person and to the sentence parser.
namespace slotwitness::oracle {

/// What the fact of a query is called in a sentence: "plane 3 down".
struct Subject {
    const char* asking; ///< the query's key
    const char* kind;
    const char* name;
    const char* predicate;
};
inline constexpr Asking planes = 0;
inline constexpr Asking modules = 1;
inline constexpr Asking ports = 2;
/// One answer about the fan tray states two facts, as if two queries were answered at once.
inline constexpr Asking tray_works = 3;
inline constexpr Asking tray_out = 4;
inline constexpr Subject subjects[] = {{"planes", "plane", "3", "down"},
                                       {"modules", "module", "FAB3", "oper enabled"},
                                       {"ports", "port", "eth1", "down"},
                                       {"trays", "fan-tray", "TRAY2", "oper enabled"},
                                       {"trays", "fan-tray", "TRAY2", "absent"}};

[[nodiscard]] Condition fact(Asking asking);
[[nodiscard]] Condition as_in_baseline(Asking asking);
[[nodiscard]] Condition not_rising(Asking asking);
[[nodiscard]] Condition negation(Condition part);
[[nodiscard]] Condition conjunction(Condition left, Condition right);
[[nodiscard]] Condition disjunction(Condition left, Condition right);

/// "plane 3 down and module FAB3 up for 4 ms within 20 ms".
[[nodiscard]] std::string sentence_of(const Gate& gate);

[[nodiscard]] std::string to_text(const Event& event);
[[nodiscard]] std::string to_text(const Gate& gate);

} // namespace slotwitness::oracle
