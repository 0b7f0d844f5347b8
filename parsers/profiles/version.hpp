#pragma once

#include <compare>
#include <string_view>

namespace slotwitness::profiles {

/// Compares versions as people do: runs of digits by their value, runs of letters by their bytes,
/// signs between them only part. "4.9" < "4.10", "20.1R3" < "20.1R12", "4.9" < "4.9.1".
[[nodiscard]] std::weak_ordering compare_versions(std::string_view left, std::string_view right);

} // namespace slotwitness::profiles
