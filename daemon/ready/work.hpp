#pragma once

#include <slotwitness/procedures/arguments.hpp>
#include <slotwitness/profiles/profile.hpp>
#include <slotwitness/watch/attention.hpp>

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace slotwitness::ready {

/// The chassis that is to be worked on, as the configuration describes it.
struct Chassis {
    std::string name;
    const profiles::Profile& profile; ///< outlives it
    watch::Pace pace{};
    std::optional<std::string> serial{};
    std::vector<std::string> allow_unproven{};
    std::map<state::Kind, std::vector<std::string>> inventory{};
    std::optional<units::Decimal> peak_load{}; ///< b/s
    bool in_band = false;                      ///< the way to it leads through its own fabric
    watch::Budget budget{};
};

/// The machine that is to watch, as far as it is the one that looks now.
struct Site {
    /// Of the procedure among those that the daemon may open.
    enum class Listed { same, other_text, no };
    std::optional<std::string> journal_trouble; ///< why evidence could not be kept
    bool clock_synchronised = false;
    Listed listed = Listed::no;
};

/// What is to be done, where, and who watches.
struct Work {
    const procedures::FilledProcedure& procedure; ///< outlives it
    Chassis chassis;
    Site site;
};

} // namespace slotwitness::ready
