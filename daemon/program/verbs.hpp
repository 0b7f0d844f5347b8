#pragma once

#include "options.hpp"

#include <slotwitness/profiles/profile.hpp>
#include <slotwitness/watch/attention.hpp>

/// One function a verb: takes what the command line said, prints, and returns the exit code.
namespace slotwitness::program {

[[nodiscard]] int serve(const ServeOptions& options);
[[nodiscard]] int look(const LookOptions& options);
[[nodiscard]] int ask(const AskOptions& options);
[[nodiscard]] int read(const ReadOptions& options);
[[nodiscard]] int check_packs(const ReadOptions& options); ///< `read --check`
[[nodiscard]] int capture(const CaptureOptions& options);
[[nodiscard]] int replay(const ReplayOptions& options);
[[nodiscard]] int report(const ReportOptions& options);
[[nodiscard]] int explain(const ExplainOptions& options);
[[nodiscard]] int explain_procedure(const ExplainOptions& options); ///< `explain --procedure`
/// What may be sent, and what it costs a chassis at this pace within this budget.
[[nodiscard]] int explain_profile(const profiles::Profile& profile, const watch::Pace& pace,
                                  const watch::Budget& budget, bool as_json);
[[nodiscard]] int ready(const ReadyOptions& options);
[[nodiscard]] int rehearse(const RehearseOptions& options);
[[nodiscard]] int token(const TokenOptions& options);

} // namespace slotwitness::program
