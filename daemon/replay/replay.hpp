#pragma once

#include <slotwitness/journal/store.hpp>

#include <tl/expected.hpp>

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

/// Verifies a journal: reads every answer again, steps the witness again, compares.
namespace slotwitness::replay {

struct GateSummary {
    std::string id;
    std::string sentence;
    std::string verdict;
    std::string reason;
};

/// The first place where recomputing says otherwise than the journal.
struct Difference {
    std::uint64_t sequence = 0;
    enum class Kind { reading, finding } kind = Kind::finding;
    std::string text;
};

struct ChassisReplay {
    std::string chassis;
    std::uint64_t entries = 0;
    std::vector<GateSummary> gates; ///< as recomputed
    std::optional<Difference> difference;
};

[[nodiscard]] tl::expected<std::vector<ChassisReplay>, journal::StoreError> replay(journal::Store& store);

} // namespace slotwitness::replay
