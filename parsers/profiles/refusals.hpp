#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::profiles {

/// Why a device refuses, by what a person does about it.
enum class Refusal {
    command, ///< the account may not run this
    aaa,     ///< the device does not reach who decides about accounts and commands
    line,    ///< all sessions that it grants are in use
    locked,  ///< the account is locked
};

/// How the family says each of them: texts that stand in a line of what it says, in either case of
/// letters.
struct Refusals {
    std::vector<std::string> command, aaa, line, locked;
    struct Told {
        Refusal refusal = Refusal::command;
        std::string words; ///< as the profile has them
    };
    /// What a text says; where it says several, that which speaks against trying again.
    [[nodiscard]] std::optional<Told> told_in(std::string_view text) const;
};

} // namespace slotwitness::profiles
