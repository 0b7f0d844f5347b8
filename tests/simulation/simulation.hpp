#pragma once

#include "invariants.hpp"
#include "schedule.hpp"

#include <functional>
#include <map>
#include <memory>
#include <string>
#include <vector>

namespace slotwitness::simulation {

/// Twins of a daemon's parts that are broken on purpose: to see that the invariants notice.
struct Twins {
    std::function<std::unique_ptr<journal::Store>(std::unique_ptr<journal::Store>)> store;
    std::function<std::unique_ptr<links::Link>(std::unique_ptr<links::Link>)> link;
    std::function<std::unique_ptr<desk::Clock>(std::unique_ptr<desk::Clock>)> clock;
    /// What is published reaches those who look on through this.
    std::function<desk::Recorded(desk::Recorded)> published;
};

struct Ran {
    std::vector<Invariants::Broken> broken;
    std::string digest;                     ///< of the journal
    std::size_t entries = 0;                ///< in it
    std::map<std::string, std::size_t> met; ///< what came about, how often
};

/// The whole daemon but its sockets, threads and files, over chassis of its own, through one
/// schedule and on until all of it is over. The same schedule gives the same.
[[nodiscard]] Ran run(const Schedule& schedule, const Twins& twins = {});

/// A schedule that breaks the same invariant with as few acts as could be found.
[[nodiscard]] Schedule shrunk(const Schedule& schedule, const std::string& invariant,
                              const Twins& twins = {});

} // namespace slotwitness::simulation
