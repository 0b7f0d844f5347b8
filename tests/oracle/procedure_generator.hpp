#pragma once

#include "procedure_oracle.hpp"

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace slotwitness::oracle {

/// A procedure and all that happened on its chassis.
struct Course {
    Procedure procedure;
    std::vector<Happened> happened;
};

/// What the oracle says after each happening.
[[nodiscard]] std::vector<Told> judge(const Course& course);

/// The course of a seed, with what the oracle says of it: small whole numbers, so that instants
/// coincide often. The device mostly does what is waited for, people mostly what can be done then,
/// so that courses get on. The same on every machine.
[[nodiscard]] std::pair<Course, std::vector<Told>> random_course(std::uint64_t seed);

/// Whether the events could have come from a sequencer.
[[nodiscard]] bool well_formed(const Course& course);

/// "step-1", "back-0": also what the witness is told it is called.
[[nodiscard]] std::string name_of(StepAt step);
[[nodiscard]] std::string to_text(const Course& course);
[[nodiscard]] std::string to_text(const Told& told);

} // namespace slotwitness::oracle
