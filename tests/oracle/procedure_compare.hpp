#pragma once

#include "compare.hpp"
#include "procedure_generator.hpp"

namespace slotwitness::oracle {

/// Where the witness first says otherwise than was `told`, in words; nothing if it never does.
[[nodiscard]] std::optional<std::string> difference(const Course& course,
                                                    const std::vector<Told>& told, Ticks ticks);

/// A smaller course on which they still differ: no one happening can be left out of it.
[[nodiscard]] Course minimised(Course course, Ticks ticks);

} // namespace slotwitness::oracle
