#pragma once

#include "answer.hpp"
#include "events.hpp"
#include "problem.hpp"
#include "router.hpp"

#include <tl/expected.hpp>

#include <string_view>

/// /v1/procedures: opened, looked at, and acted upon by people. An act upon a step carries the
/// step's revision in If-Match, so that two people cannot do it twice.
namespace slotwitness::api {

[[nodiscard]] Next get_procedures(const Request& request, const Places& places,
                                  const desk::Desk& desk);
[[nodiscard]] Next get_procedure(const Request& request, const Places& places,
                                 const desk::Desk& desk);
/// Its run sheet, to be printed.
[[nodiscard]] Next get_sheet(const Request& request, const Places& places, const desk::Desk& desk);
/// Its card, as JSON, as a page to be printed or as text; in procedure_papers.cpp, as the sheet.
[[nodiscard]] Next get_card(const Request& request, const Places& places, const desk::Desk& desk);
[[nodiscard]] Response card_made(const Request& request, desk::CardForm form,
                                 const tl::expected<std::string, desk::Refusal>& made);
[[nodiscard]] Next post_procedure(const Request& request, const Places& places,
                                  const desk::Desk& desk);
/// {"step": …}
[[nodiscard]] Next post_release(const Request& request, const Places& places,
                                const desk::Desk& desk);
/// {"step": …, "on_behalf_of": …}
[[nodiscard]] Next post_confirmation(const Request& request, const Places& places,
                                     const desk::Desk& desk);
/// {"step": …}: a confirmation is taken back while its step's `undo_until` has not passed.
[[nodiscard]] Next post_undo(const Request& request, const Places& places, const desk::Desk& desk);
/// {"act": …, …}: what else people do; in procedure_acts.cpp.
[[nodiscard]] Next post_act(const Request& request, const Places& places, const desk::Desk& desk);

/// The procedure as it is now: 200, 304 (If-None-Match) or 412, as JSON or text.
[[nodiscard]] Response procedure_shown(const Request& request, std::string_view id,
                                       const desk::Desk& desk);

[[nodiscard]] Next get_procedure_changes(const Request& request, const Places& places,
                                         const desk::Desk& desk);
[[nodiscard]] SharedEvent procedure_event(const desk::SharedView<desk::ProcedureView>& view);

[[nodiscard]] Response no_such_procedure(const Request& request, std::string_view id);

using ProcedureDone = tl::expected<desk::ProcedureView, desk::Refusal>;
[[nodiscard]] Response procedure_opened(const Request& request, const ProcedureDone& done,
                                        units::Instant now);
[[nodiscard]] Response procedure_acted(const Request& request, const ProcedureDone& done,
                                       units::Instant now);

/// `module FAB3`, as a sentence names it: a part of the chassis that `field` of a body tells.
[[nodiscard]] tl::expected<witness::Component, ProblemDetails>
component_named(const std::string& field, const std::string& text);

} // namespace slotwitness::api
