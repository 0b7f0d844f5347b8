#pragma once

#include "procedure_oracle.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace slotwitness::oracle {

/// A procedure and all that happened on its chassis.
struct Course {
    Procedure procedure;
    std::vector<Happened> happened;
};

/// The course of a seed: small whole numbers, so that instants coincide often. The device mostly
/// does what is waited for, people mostly what can be done then, so that courses get on. The same
/// on every machine.
[[nodiscard]] Course random_course(std::uint64_t seed);

/// Whether the events could have come from a sequencer.
[[nodiscard]] bool well_formed(const Course& course);

[[nodiscard]] std::string to_text(const Course& course);
[[nodiscard]] std::string to_text(const Told& told);

} // namespace slotwitness::oracle
