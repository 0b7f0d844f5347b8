#pragma once

#include "store.hpp"

#include <nlohmann/json_fwd.hpp>

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

/// The hash chain of one chassis, apart from where it is stored.
namespace slotwitness::journal {

/// Where a chain stands: what its next entry is built on.
struct Head {
    std::uint64_t sequence = 0;              ///< of the last entry; 0 before the first
    std::string hash = std::string(64, '0'); ///< of the last entry; 64 zeros before the first
    friend bool operator==(const Head&, const Head&) = default;
};

/// The entry that follows `head`, with the members of `body`. Throws std::invalid_argument if
/// `body` is not an object of exactly `at`, `type`, `event` and `findings`, or has no canonical
/// form.
[[nodiscard]] Entry next_entry(std::string_view chassis, const Head& head,
                               const nlohmann::json& body);

/// What is wrong with `entry` as the one that follows `head`, in a sentence that names its sequence
/// number; nothing if the chain is whole up to it.
[[nodiscard]] std::optional<std::string> broken(const Entry& entry, std::string_view chassis,
                                                const Head& head);

} // namespace slotwitness::journal
