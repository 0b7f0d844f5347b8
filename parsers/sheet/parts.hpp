#pragma once

#include "markup.hpp"
#include "sheet.hpp"

/// The parts of the sheet, from the top.
namespace slotwitness::sheet {

/// Title, chassis, and who and when.
[[nodiscard]] Markup head(const procedures::FilledProcedure& filled, const SheetFacts& facts);
/// The face that is looked at, with the work slot marked; without a face, a frame to draw it in.
[[nodiscard]] Markup slot_map(const procedures::FilledProcedure& filled,
                              const std::optional<Face>& face);
/// What was given for the procedure's parameters, each figure with its document.
[[nodiscard]] Markup given(const procedures::FilledProcedure& filled);
/// Nothing, if nothing is accepted.
[[nodiscard]] Markup accepted(const SheetFacts& facts);
[[nodiscard]] Markup tools(const procedures::Procedure& procedure);
/// What must hold throughout.
[[nodiscard]] Markup rules(const procedures::Procedure& procedure);
[[nodiscard]] Markup cooling(const procedures::FilledProcedure& filled);
/// `codes`: as of SheetFacts.
using Codes = std::map<std::string, std::string>;
[[nodiscard]] Markup steps(const procedures::Procedure& procedure, const Codes& codes);
[[nodiscard]] Markup way_back(const procedures::Procedure& procedure, const Codes& codes);
/// How codes are spoken, and what is printed of them.
[[nodiscard]] Markup spelling(const Codes& codes);
/// What the sheet is, and what comes before it.
[[nodiscard]] Markup foot();

/// The style sheet.
[[nodiscard]] Markup style();

} // namespace slotwitness::sheet
