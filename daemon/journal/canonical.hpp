#pragma once

#include <nlohmann/json_fwd.hpp>

#include <string>
#include <string_view>

namespace slotwitness::journal {

/// RFC 8785 (JSON Canonicalization Scheme). Throws std::invalid_argument, which names the value,
/// for what the RFC has no canonical form of: an integer beyond ±(2^53 − 1), NaN, an infinity, text
/// that is not UTF-8.
[[nodiscard]] std::string canonical(const nlohmann::json& value);

/// A text as it stands there, in quotation marks.
void append_canonical(std::string& out, std::string_view text);

} // namespace slotwitness::journal
