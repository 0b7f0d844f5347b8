#pragma once

#include "compare.hpp"
#include "pack.hpp"

#include <slotwitness/profiles/profile.hpp>

namespace slotwitness::pack {

struct AnswerCheck {
    std::string asking;
    std::string capture;
    std::size_t rows = 0;        ///< as it is read now
    std::vector<Change> changes; ///< empty: it reads as it did
};

/// Reads every answer of a verified pack again, with its own profile or another, and compares. The
/// error names a kept reading that is none.
[[nodiscard]] tl::expected<std::vector<AnswerCheck>, PackError>
check(const Pack& pack, const profiles::Profile& profile);

} // namespace slotwitness::pack
