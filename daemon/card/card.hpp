#pragma once

#include "place.hpp"
#include "trail.hpp"

#include <slotwitness/procedures/arguments.hpp>
#include <slotwitness/replay/recover.hpp>

#include <optional>
#include <string>
#include <vector>

/// The card of a procedure: what was done by whom, what was seen, and, while it is under way, what
/// the next shift must know. It claims nothing that the journal does not hold.
namespace slotwitness::card {

/// What a card is made from.
struct Record {
    std::string chassis;
    replay::RecordedProcedure procedure;
    Trail trail;
    std::optional<sentences::Named> work_slot; ///< of the procedure's file, where it names one
};

struct StepLine {
    std::size_t number = 0; ///< from 1, the way back counted on its own
    witness::StepPlan plan;
    witness::StepFinding finding; ///< `waiting` without one
    std::optional<witness::GateFinding> fact, effect;
    std::vector<Deed> passed_over; ///< forced or skipped
};

/// What is out, or may be.
struct Out {
    std::string what;   ///< "fan tray TRAY2"
    std::string people; ///< what people confirmed
    std::string device; ///< what the device reported last
};

/// For the shift that takes over.
struct Now {
    witness::Phase phase = witness::Phase::forward;
    witness::Word word = witness::Word::wait;
    std::string text;
    std::optional<witness::Advice> advice;
    std::optional<StepLine> step; ///< under way
    bool on_the_way_back = false; ///< the step is of the way back
    std::string waits_for;        ///< whom, for what
    std::vector<Out> out;
    std::optional<Instant> cooling_since, cooling_limit, turn_back;
};

struct Card {
    Instant as_of; ///< what came later is not in it
    std::string chassis;
    std::optional<Serial> chassis_serial;
    std::optional<witness::ChassisFinding> at_the_rack;
    std::optional<witness::PartFinding> right_part;
    std::optional<witness::HandbackFinding> handback;
    witness::ProcedureOpened opened;
    witness::ProcedureFinding finding;
    std::vector<Deed> deeds;
    std::vector<Alert> alerts;
    std::vector<Loss> losses;
    std::vector<StepLine> steps;    ///< forward
    std::vector<StepLine> way_back; ///< those that were opened
    std::vector<CoolingRun> cooling;
    std::vector<Instant> restarts;
    std::vector<Switchover> switchovers;
    std::optional<sentences::Named> work_slot;
    std::optional<Instant> baseline;    ///< when its last answer came
    std::optional<Seen> before, newest; ///< of the work slot: in the baseline, and last
    std::optional<Now> now;             ///< while it is not closed

    [[nodiscard]] bool is_closed() const { return !now; }
};

/// As of `at`, or of the closing if that was earlier.
[[nodiscard]] Card card_of(const Record& record, Instant at);

/// Why nothing of the device is known, or who is waited for: "the engineer: to release it".
[[nodiscard]] std::optional<Now> now_of(const Record& record, const Card& card);

} // namespace slotwitness::card
