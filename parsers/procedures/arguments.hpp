#pragma once

#include "procedure.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace slotwitness::procedures {

/// What people give for each parameter when the work is opened, each in one line: `FAB3`; `3, 4`
/// where several components are meant; `0.9 N·m by handbook 4-2`, `10 min by site rule 7`: a figure
/// and a time limit name the document that they come from; any words.
using Arguments = std::map<std::string, std::string>;

/// A procedure with its places filled, ready to be worked by.
struct FilledProcedure {
    Procedure procedure; ///< its sentences are canonical
    std::map<std::string, std::string>
        given; ///< each argument as texts show it: `10 min (site rule 7)`
    std::map<std::string, std::vector<sentences::Named>>
        components; ///< those that were given, by parameter
    std::optional<sentences::Named> work_slot;
    std::string spare{};             ///< its serial as people gave it; empty: none is asked for
    std::optional<std::string> tray; ///< with `procedure.cooling`: the fan tray's name
    std::optional<units::Duration> limit;
    std::vector<std::string> sensors{};       ///< that may shorten it
    std::optional<units::Quantity> hottest{}; ///< °C that they must not reach, if people give it
    std::optional<units::Duration> takes{};   ///< from the old part's leaving to the tray's return
};

/// Every problem is returned, at least one: a parameter without argument, an argument without
/// parameter, a figure without its document or in another unit, a sentence that does not parse
/// with what was given. Takes a procedure as `parse_procedure` returned it.
[[nodiscard]] tl::expected<FilledProcedure, std::vector<state::Problem>>
fill_procedure(const Procedure& procedure, const Arguments& arguments);

} // namespace slotwitness::procedures
