#pragma once

#include <slotwitness/journal/store.hpp>

#include <tl/expected.hpp>

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// Verifies a journal: reads every answer again, steps the witness again, compares with what was
/// recorded.
namespace slotwitness::replay {

/// The first place where recomputing says otherwise than the journal.
struct Difference {
    enum class Kind {
        reading, ///< the same bytes and profile read otherwise: a parser difference
        finding, ///< the same readings judge otherwise: a witness difference
    };
    Kind kind = Kind::finding;
    std::uint64_t sequence = 0;
    std::string text; ///< what was recorded and what was recomputed
};
[[nodiscard]] std::string_view to_word(Difference::Kind kind);

struct GateSummary {
    std::string id;
    std::string sentence;
    std::string verdict;
    std::string failure; ///< empty unless the verdict is fail
    std::string reason;  ///< prose of the newest finding
    std::string decided; ///< RFC 3339; empty while pending
    std::string code;    ///< to be read back, derived again; empty while there is none
};

/// A step of a procedure that somebody released, and the code that was told with it.
struct StepSummary {
    std::string name;
    std::string stage;
    std::string code; ///< derived again
    bool read_back = false;
};
struct ProcedureSummary {
    std::string id;
    std::string title;
    std::string word;
    std::string code;               ///< of the newest word, derived again; empty if there is none
    std::vector<StepSummary> steps; ///< in the procedure's order
};

struct ChassisReplay {
    std::string chassis;
    std::uint64_t entries = 0;
    std::vector<GateSummary> gates;           ///< as recomputed, in the order of opening
    std::vector<ProcedureSummary> procedures; ///< as `gates`
    std::optional<Difference> difference;
};

/// Every chassis of the journal. A chain that is not whole is an error, as the store tells it.
[[nodiscard]] tl::expected<std::vector<ChassisReplay>, journal::StoreError>
replay(journal::Store& store);

} // namespace slotwitness::replay
