#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::procedures {

/// The parts that fit into the work slot, as the procedure's owner states them.
struct Compatibility {
    struct Part {
        std::string number;
        std::vector<std::string> revisions; ///< empty: any
        friend bool operator==(const Part&, const Part&) = default;
    };
    std::string document; ///< that the list comes from
    std::string part;     ///< the parameter that gives the spare's part number
    std::string revision; ///< the one that gives its revision; empty: none does
    std::vector<Part> fits;
    friend bool operator==(const Compatibility&, const Compatibility&) = default;
};

/// Another revision of a part that is listed is for people to weigh; another part does not fit.
enum class Fit { listed, other_revision, not_listed };

/// As the label has them, letter by letter.
[[nodiscard]] Fit fit_of(const Compatibility& list, std::string_view part,
                         std::string_view revision);

} // namespace slotwitness::procedures
