#pragma once

#include "canonical.hpp"
#include "store.hpp"

#include <slotwitness/witness/event.hpp>
#include <slotwitness/witness/finding.hpp>

#include <nlohmann/json.hpp>
#include <tl/expected.hpp>

#include <string>
#include <string_view>
#include <vector>

/// Events and findings as JSON: members in snake_case, times and 64-bit numbers as strings. Text
/// that is not UTF-8 (a device may print any byte) is written with U+FFFD; the captures keep the
/// raw bytes.
namespace slotwitness::journal {

/// What `Store::append` takes: `at`, `type`, `event`, `findings`. A reading is stored as its digest
/// (`reading`), not itself. Types: run.started, round.started, answer, look.failed, gate.opened,
/// gate.closed, baseline.wanted, session.opened, tick, and those of procedures
/// (codec_procedures.cpp); run.started carries `semantics` = witness::semantics_version.
[[nodiscard]] nlohmann::json to_body(const witness::Event& event,
                                     const std::vector<witness::Finding>& findings);

/// An entry's line back to its event and findings. `Answered::reading` is null: it is read again
/// from the capture; its stored digest is `reading_digest`.
struct Decoded {
    witness::Event event;
    std::vector<witness::Finding> findings;
    std::string reading_digest; ///< empty unless the event is an answer
    int semantics = 0; ///< of the witness that judged the run; 0 unless the run starts here
};
/// The error is a sentence that names the member.
[[nodiscard]] tl::expected<Decoded, std::string> from_line(std::string_view line);

/// A reading as it is kept: `whole`, `lists`, `rows`, `unread`, `remarks`; each kind of value under
/// a name of its own, an unknown one null. What is set aside says nothing of the device and is not
/// kept.
[[nodiscard]] nlohmann::json to_json(const state::Reading& reading);
/// canonical(to_json(reading)), written at once: each answer is digested as it comes.
[[nodiscard]] std::string canonical(const state::Reading& reading);

/// SHA-256 over the canonical JSON of a reading: tells a parser difference from a witness
/// difference.
[[nodiscard]] std::string digest_of(const state::Reading& reading);

/// One finding as JSON: also what the API and `--json` show of it, so that there is one spelling.
/// Here times are RFC 3339 and what is not set is null; `held_s` and `needs_s` are numbers of
/// seconds, exact to the millisecond (durations up to 2^52 ms). A `valid_until` beyond the year
/// 9999 is null: no limit.
[[nodiscard]] nlohmann::json to_json(const witness::GateFinding& finding);
/// As it is of a gate; 64-bit numbers are strings.
[[nodiscard]] nlohmann::json to_json(const witness::ProcedureFinding& finding);
[[nodiscard]] nlohmann::json to_json(const witness::StepFinding& finding);
[[nodiscard]] nlohmann::json to_json(const witness::RuleFinding& finding);
[[nodiscard]] nlohmann::json to_json(const witness::CoolingFinding& finding);
[[nodiscard]] nlohmann::json to_json(const witness::ChassisFinding& finding);
[[nodiscard]] nlohmann::json to_json(const witness::PartFinding& finding);
[[nodiscard]] nlohmann::json to_json(const witness::Exception& exception);
[[nodiscard]] nlohmann::json to_json(const witness::HandbackFinding& finding);

} // namespace slotwitness::journal
