#pragma once

#include "object.hpp"

#include <slotwitness/witness/because.hpp>
#include <slotwitness/witness/event.hpp>
#include <slotwitness/witness/finding.hpp>

#include <nlohmann/json.hpp>

#include <optional>
#include <string_view>

/// Inside of the codec: what its sources share.
namespace slotwitness::journal {

[[nodiscard]] nlohmann::json write_because(const witness::Because& because);
[[nodiscard]] witness::Because read_because(const Object& from);
/// Null beyond the year 9999, which RFC 3339 cannot write.
[[nodiscard]] nlohmann::json rfc3339(units::Instant at);

/// What is written of an event's or a finding's own members, `type` left out. The types of events
/// and findings that a procedure brings are in codec_procedures.cpp.
[[nodiscard]] nlohmann::json write_work(const witness::Event& event);
[[nodiscard]] nlohmann::json write_work(const witness::Finding& finding);
/// Empty: nothing of a procedure.
[[nodiscard]] std::string_view work_type(const witness::Event& event);
[[nodiscard]] std::string_view work_type(const witness::Finding& finding);
/// False: no such type; `into` is as it was.
[[nodiscard]] bool read_work(std::string_view type, const Object& from, witness::Event& into);
[[nodiscard]] std::optional<witness::Finding> read_work(std::string_view type, const Object& from);

} // namespace slotwitness::journal
