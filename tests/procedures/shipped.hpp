#pragma once

#include "samples.hpp"

#include <slotwitness/procedures/arguments.hpp>

#include <algorithm>
#include <filesystem>

namespace slotwitness::procedures {

inline std::string shipped_text(const std::string& name) {
    return text_of(SLOTWITNESS_FIXTURES "/quillon/procedures/" + name);
}

/// The names of the shipped procedures' files, without folder.
inline std::vector<std::string> shipped_files() {
    std::vector<std::string> names;
    for (const auto& entry :
         std::filesystem::directory_iterator{SLOTWITNESS_FIXTURES "/quillon/procedures"})
        if (entry.path().extension() == ".toml")
            names.push_back(entry.path().filename().string());
    std::sort(names.begin(), names.end());
    return names;
}

/// Something that fits each parameter, from the invented chassis.
inline Arguments fitting(const Procedure& procedure) {
    Arguments arguments;
    for (const auto& [name, parameter] : procedure.parameters) {
        if (const auto* component = std::get_if<ComponentOf>(&parameter.is)) {
            const std::map<state::Kind, std::string> names{
                {state::Kind::module, "FAB3"},
                {state::Kind::plane, component->several ? "3, 4" : "3"},
                {state::Kind::fan_tray, "TRAY2"},
                {state::Kind::power_supply, "PSU1"},
                {state::Kind::port, "eth1, eth2, eth3, eth4"},
                {state::Kind::sensor, "inlet"},
            };
            arguments[name] = names.at(component->kind);
        } else if (const auto* figure = std::get_if<Figure>(&parameter.is)) {
            arguments[name] =
                "20 " + std::string{units::to_text(figure->unit)} + " by handbook 4-2";
        } else {
            arguments[name] = std::holds_alternative<TimeLimit>(parameter.is)
                                  ? "10 min by site rule 7"
                                  : "QL40100099, part QF-6";
        }
    }
    return arguments;
}

/// A shipped procedure, filled with what fits.
inline FilledProcedure filled_shipped(const std::string& file) {
    const auto procedure = parse_procedure({file, shipped_text(file)});
    if (!procedure)
        throw std::runtime_error(state::to_text(procedure.error().front()));
    auto filled = fill_procedure(*procedure, fitting(*procedure));
    if (!filled)
        throw std::runtime_error(state::to_text(filled.error().front()));
    return *std::move(filled);
}

/// The name of a test for a file's name.
template <class Info>
std::string test_name(const Info& file) {
    std::string name = file.param.substr(0, file.param.find('.'));
    std::replace(name.begin(), name.end(), '-', '_');
    return name;
}

} // namespace slotwitness::procedures
