#pragma once

#include "compare.hpp"
#include "procedure_generator.hpp"

namespace slotwitness::oracle {

/// Where witness and oracle first differ on a course, in words; nothing if they agree throughout.
/// `told` takes what the oracle says after each happening.
[[nodiscard]] std::optional<std::string> difference(const Course& course, Ticks ticks,
                                                    std::vector<Told>* told = nullptr);

/// A smaller course on which they still differ: no one happening can be left out of it.
[[nodiscard]] Course minimised(Course course, Ticks ticks);

} // namespace slotwitness::oracle
