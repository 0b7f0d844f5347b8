#pragma once

#include "../chassis/snapshot.hpp"

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// What the simulation's people ask, and what is true of it, told from the chassis' own state: no
/// parser, profile or witness of the daemon has a part in it.
namespace slotwitness::simulation {

struct Known {
    std::string condition;            ///< as a sentence without hold and deadline
    std::vector<std::string> askings; ///< what a look of it needs
    bool ranges = false;              ///< over what the chassis has, by its baseline
    /// Nothing: a chassis in that state tells nothing definite of it.
    std::function<std::optional<bool>(const chassis::Snapshot&)> truth;
};

/// All of them; the first ones are what gates are opened with, the others stand in the procedure.
[[nodiscard]] const std::vector<Known>& all_known();
inline constexpr std::size_t asked_of_gates = 12;

/// The condition of a sentence as the daemon prints it. Throws where it is not one of them.
[[nodiscard]] const Known& known(std::string_view sentence);

} // namespace slotwitness::simulation
