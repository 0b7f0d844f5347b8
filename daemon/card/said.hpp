#pragma once

#include "card.hpp"

#include <string>
#include <vector>

/// What the card says of its parts in words: one spelling for text and page.
namespace slotwitness::card {

/// "SHIFT HANDOVER" while it is under way, else "CLOSE-OUT CARD".
[[nodiscard]] std::string title_of(const Card& card);
/// The time of day in UTC, with the day where it is not that of the opening: "08:54:17".
[[nodiscard]] std::string clock_of(const Card& card, Instant at);
[[nodiscard]] std::string said(const Card& card, const Deed& deed);
[[nodiscard]] std::string said(const Card& card, const Alert& alert);
[[nodiscard]] std::string said(const Card& card, const Loss& loss);
[[nodiscard]] std::string said(const Card& card, const CoolingRun& run);
/// "pass 08:54:17", or what is not known of it. `sentence` is what was waited for.
[[nodiscard]] std::string said(const Card& card, const std::optional<witness::GateFinding>& gate);
[[nodiscard]] std::string said(const Card& card, const Seen& seen);
/// "released 08:54:17 by A. Person; confirmed 08:55:02 by …"
[[nodiscard]] std::string people_of(const Card& card, const StepLine& line);
/// Time left of the cooling clock as of the card, or by how much it has run out.
[[nodiscard]] std::string left_of(const Card& card, Instant limit);
/// What was read of the chassis' serial at the rack; empty where nobody needed to.
[[nodiscard]] std::string rack_of(const Card& card);
/// What people did, and when the daemon began anew.
[[nodiscard]] std::vector<std::string> beside_the_steps(const Card& card);
/// What was closed, by whom; while it is under way, who is in charge.
/// What was taken as it was before the work, each in a line.
[[nodiscard]] std::vector<std::string> accepted_in(const Card& card);
/// Every part that is not as it was, by the handback, each in a line.
[[nodiscard]] std::vector<std::string> handed_back(const Card& card);
/// The chassis in figures, before the work and last, each in a line.
[[nodiscard]] std::vector<std::string> counted(const Card& card);
/// What that rests on.
[[nodiscard]] std::string handback_of(const Card& card);
[[nodiscard]] std::string outcome_of(const Card& card);
/// What the card is, and what it does not know.
[[nodiscard]] std::string foot_of(const Card& card);

} // namespace slotwitness::card
