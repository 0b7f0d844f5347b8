#pragma once

#include "handback_finding.hpp"
#include "view.hpp"

#include <map>

namespace slotwitness::witness {

/// One kind in figures: how many are listed, how many of these are operational, and what their
/// error counters add up to. "not known" where the answers do not tell it of every one.
struct Figures {
    bool asked = false; ///< some answer is meant to list all of it
    std::string listed, operational, errors;
    bool tells_oper = false, tells_errors = false; ///< some component of the kind does
};

/// The chassis in figures.
[[nodiscard]] std::map<state::Kind, Figures> figures_of(const View& view);

/// Before and now, for people to see at a glance; part by part decides, never these. A kind that
/// neither is asked to list is left out, and so is a figure that neither tells of.
[[nodiscard]] std::vector<Change> counts_of(const std::map<state::Kind, Figures>& then,
                                            const std::map<state::Kind, Figures>& now);

} // namespace slotwitness::witness
