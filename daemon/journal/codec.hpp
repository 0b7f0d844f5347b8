#pragma once

#include <slotwitness/witness/event.hpp>
#include <slotwitness/witness/finding.hpp>

#include <nlohmann/json.hpp>
#include <tl/expected.hpp>

#include <string>
#include <vector>

/// Events and findings as JSON: members in snake_case, times and 64-bit numbers as strings.
namespace slotwitness::journal {

/// What `Store::append` takes: `at`, `type`, `event`, `findings`. A reading is stored as its digest
/// (`reading`), not itself.
[[nodiscard]] nlohmann::json to_body(const witness::Event& event, const std::vector<witness::Finding>& findings);

/// An entry's line back to its event and findings. `Answered::reading` is null: it is read again from
/// the capture; its stored digest is `reading_digest`.
struct Decoded {
    witness::Event event;
    std::vector<witness::Finding> findings;
    std::string reading_digest; ///< empty unless the event is an answer
};
/// The error is a sentence that names the member.
[[nodiscard]] tl::expected<Decoded, std::string> from_line(std::string_view line);

/// SHA-256 over the canonical JSON of a reading: tells a parser difference from a witness difference.
[[nodiscard]] std::string digest_of(const state::Reading& reading);

/// One finding as JSON: also what the API and `--json` show of it, so that there is one spelling.
[[nodiscard]] nlohmann::json to_json(const witness::GateFinding& finding);

/// RFC 8785. Numbers must be integers within ±(2^53 − 1); the rest of the RFC is whole.
[[nodiscard]] std::string canonical(const nlohmann::json& value);

} // namespace slotwitness::journal
