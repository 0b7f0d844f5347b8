#pragma once

#include "settings.hpp"

#include <slotwitness/procedures/arguments.hpp>
#include <slotwitness/witness/procedure.hpp>

#include <optional>

/// What the witness is told of a sentence or a procedure: the queries that it needs, and how long
/// may lie between two looks.
namespace slotwitness::desk {

/// `gap`: G; the default of watch without. The problem is what the profile lacks.
[[nodiscard]] tl::expected<witness::SentencePlan, state::Problem>
plan_sentence(const ChassisSettings& settings, const sentences::Sentence& sentence,
              std::optional<units::Duration> gap);

/// How old an answer may be of all that can be asked.
[[nodiscard]] units::Duration refresh_of_all(const ChassisSettings& settings);

/// `sensor S below H`; `hottest`: in °C, or nothing where the device states the limit. What tells
/// the one tells the other, if the device does.
[[nodiscard]] std::string warm_sentence(const std::string& sensor,
                                        const std::optional<units::Decimal>& hottest);

/// All but who opens it, under which id and ticket. The problem names the step or rule.
[[nodiscard]] tl::expected<witness::ProcedureOpened, state::Problem>
plan_procedure(const ChassisSettings& settings, const procedures::FilledProcedure& filled);

/// What people have to know of the way by which this chassis is watched, each a sentence.
[[nodiscard]] std::vector<std::string> warnings_about(const ChassisSettings& settings);

/// The keys of a whole look at the chassis, sorted: every query without parameters.
[[nodiscard]] std::vector<std::string> whole_look(const ChassisSettings& settings);

} // namespace slotwitness::desk
