#pragma once

#include <slotwitness/witness/judgement.hpp>

#include <cstddef>
#include <string>
#include <vector>

namespace slotwitness::ready {

/// What is not known holds the work up, or is advice; never as needed.
enum class Weight { holds_up, advice, as_needed };
/// "holds-up", "advice", "as-needed"
[[nodiscard]] std::string_view to_word(Weight value);

struct Finding {
    Weight weight = Weight::holds_up;
    std::string about;                    ///< "query planes", "spare", a condition
    std::string says;                     ///< what was found
    std::string remedy;                   ///< empty where all is as needed, and only there
    std::vector<std::string> needed_by{}; ///< parts of the procedure: "rule other-planes"
    std::vector<witness::Cite> cites{};
};

/// A condition of the procedure, as this look finds it.
struct Judged {
    std::string condition;
    std::vector<std::string> of; ///< the parts of the procedure that say it
    witness::Judgement judgement;
};

struct Report {
    std::vector<Finding> findings;
    std::vector<Judged> now;             ///< must be so before the work begins
    std::vector<Judged> later;           ///< the work itself brings it about, step by step
    std::vector<std::string> cannot_see; ///< a sentence each

    [[nodiscard]] std::size_t count(Weight weight) const;
};

} // namespace slotwitness::ready
