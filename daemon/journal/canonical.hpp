#pragma once

#include <nlohmann/json_fwd.hpp>

#include <string>

namespace slotwitness::journal {

/// RFC 8785 (JSON Canonicalization Scheme). Throws std::invalid_argument, which names the value,
/// for what the RFC has no canonical form of: an integer beyond ±(2^53 − 1), NaN, an infinity, text
/// that is not UTF-8.
[[nodiscard]] std::string canonical(const nlohmann::json& value);

} // namespace slotwitness::journal
