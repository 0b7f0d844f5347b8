#pragma once

#include "judge.hpp"
#include "look.hpp"
#include "report.hpp"
#include "said.hpp"
#include "work.hpp"

#include <set>
#include <string>
#include <vector>

/// The parts of the check: each tells what it finds of one matter.
namespace slotwitness::ready {

using Findings = std::vector<Finding>;

/// Each query: allowed, answered, whole, read. Which of them the procedure needs weighs.
struct OfQueries {
    Findings findings;
    std::set<std::string> wanting; ///< keys of those that hold the work up
};
[[nodiscard]] OfQueries of_queries(const Work& work, const Look& look,
                                   const std::vector<Said>& said);
/// Can looks come as fast as the procedure's times need them?
[[nodiscard]] Findings of_paces(const Work& work, const Look& look, const std::vector<Said>& said);
/// Is it the right chassis, with software that the profile was tried with?
[[nodiscard]] Findings of_chassis(const Work& work, const Look& look);
/// Nothing that the device says counts, for it is another one.
[[nodiscard]] bool is_another(const Work& work, const Look& look);
/// What is in the work slot now, and whether the planes given are those that it serves.
[[nodiscard]] Findings of_work_slot(const Work& work, const witness::View& view);
/// Can the profile answer each sentence?
[[nodiscard]] Findings of_sentences(const std::vector<Said>& said);
/// Is the load that capacity has to cover stated?
[[nodiscard]] Findings of_peak(const Work& work, const std::vector<Said>& said);
/// Is the spare among the parts that fit?
[[nodiscard]] Findings of_spare(const Work& work);
/// The procedure's family; the daemon's journal, clock and list of procedures.
[[nodiscard]] Findings of_family(const Work& work);
[[nodiscard]] Findings of_site(const Work& work);

} // namespace slotwitness::ready
