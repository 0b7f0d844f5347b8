#pragma once

#include "event.hpp"
#include "truth.hpp"

#include <string>
#include <vector>

namespace slotwitness::witness {

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

} // namespace slotwitness::witness
