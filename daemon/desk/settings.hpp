#pragma once

#include <slotwitness/links/link.hpp>
#include <slotwitness/procedures/procedure.hpp>
#include <slotwitness/profiles/profile.hpp>
#include <slotwitness/watch/admission.hpp>
#include <slotwitness/watch/attention.hpp>

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace slotwitness::desk {

/// One chassis as the configuration describes it.
struct ChassisSettings {
    std::string name;
    std::shared_ptr<const profiles::Profile> profile;
    links::Target target;
    /// The way to it leads through its own fabric, on which the work may be done.
    bool in_band = false;
    std::vector<links::Hop> through; ///< the jump hosts on the way, in order; empty: none
    watch::Pace pace;
    watch::Budget budget{}; ///< what looking may cost it
    std::optional<std::string>
        serial; ///< what the device must report before anything it says counts
    std::vector<std::string>
        allow_unproven; ///< software versions outside of what the profile is proven for
    std::map<state::Kind, std::vector<std::string>> inventory;
    std::string risk_group; ///< of its chassis only one is worked on at a time; empty: of none
    std::optional<units::Decimal> peak_load; ///< b/s: what the chassis must be able to carry
};

/// Between two looks further apart nobody was looking: while gates are pending, and at any pace.
[[nodiscard]] units::Duration pending_gap(const ChassisSettings& settings);
[[nodiscard]] units::Duration longest_gap(const ChassisSettings& settings);

/// A procedure that may be opened, and the file that it was read from.
struct WrittenProcedure {
    procedures::Procedure procedure;
    std::string text;
};
/// By the name under which people ask for one.
using ProcedureBook = std::map<std::string, WrittenProcedure, std::less<>>;

/// What connecting asks of a chassis before its first look, at most: its identity, its software,
/// and in a shell the session queries.
[[nodiscard]] std::size_t queries_at_entrance(const profiles::Profile& profile);

/// As the profile allows, and the budget.
[[nodiscard]] std::size_t queries_at_once(const profiles::Profile& profile,
                                          const watch::Budget& budget);

/// Waits between attempts to connect, and how many there may be at once.
struct Reconnect {
    units::Duration first{1'000};
    units::Duration longest{60'000};
    watch::Doors doors{};
};

/// How many gates may be open (pending or guarded) on one chassis: each look judges all of them.
inline constexpr std::size_t most_open_gates = 200;

using LinkMaker = std::function<std::unique_ptr<links::Link>(boost::asio::any_io_executor executor,
                                                             const ChassisSettings& chassis)>;

/// Links over SSH, with the limits of the profile; those of one maker share the bastions on their
/// ways, and one strand.
[[nodiscard]] LinkMaker ssh_links();

} // namespace slotwitness::desk
