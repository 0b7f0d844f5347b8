#include "config.hpp"
#include "exit_code.hpp"
#include "files.hpp"
#include "sentence.hpp"
#include "verbs.hpp"

#include <nlohmann/json.hpp>

#include <iostream>

namespace slotwitness::program {

namespace {

int explain_sentence(const ExplainOptions& options, const profiles::Profile* profile) {
    const auto sentence = parse_sentence_or_say(options.sentence);
    if (!sentence)
        return sentence.error();
    nlohmann::json told = {{"sentence", sentences::to_text(*sentence)}};
    told["for"] =
        sentence->hold ? nlohmann::json(units::to_text(*sentence->hold)) : nlohmann::json();
    told["within"] =
        sentence->within ? nlohmann::json(units::to_text(*sentence->within)) : nlohmann::json();
    if (profile) {
        const auto needs = profiles::needs(*profile, *sentence);
        if (!needs) {
            std::cerr << state::to_text(needs.error()) << '\n';
            return exit_bad_data;
        }
        told["needs"] = nlohmann::json::array();
        for (const profiles::Asking& asking : *needs)
            told["needs"].push_back(*profiles::request_bytes(*profile, asking));
        told["may_be_old"] = units::to_text(profiles::refresh_of(*profile, *needs));
    }
    if (options.json) {
        std::cout << told.dump(2) << '\n';
        return exit_pass;
    }
    std::cout << told["sentence"].get<std::string>() << '\n';
    if (sentence->hold)
        std::cout << "  must hold for " << units::to_text(*sentence->hold)
                  << ", as looks see it: a state can change between two looks\n";
    std::cout << (sentence->within
                      ? "  fails if it is not met within " + units::to_text(*sentence->within)
                      : std::string("  waits until it is met or cancelled"))
              << '\n';
    if (profile) {
        std::cout << "  each look asks:\n";
        for (const auto& request : told["needs"])
            std::cout << "    " << request.get<std::string>() << '\n';
        std::cout << "  what the device reports may be " << told["may_be_old"].get<std::string>()
                  << " old\n";
    } else {
        std::cout << "  what each look asks depends on the device family: add --profile FILE\n";
    }
    return exit_pass;
}

} // namespace

int explain(const ExplainOptions& options) {
    if (!options.procedure.empty())
        return explain_procedure(options);
    std::shared_ptr<const profiles::Profile> profile;
    watch::Pace pace;
    watch::Budget budget;
    if (!options.config.empty()) {
        const auto config = load_config_or_say(options.config);
        if (!config)
            return config.error();
        const auto* chassis = chassis_or_say(*config, options.chassis);
        if (chassis == nullptr)
            return exit_usage;
        profile = chassis->profile;
        pace = chassis->pace;
        budget = chassis->budget;
    } else if (!options.profile.empty()) {
        auto loaded = load_profile(options.profile);
        if (!loaded)
            return loaded.error();
        profile = std::move(*loaded);
    }
    if (!options.sentence.empty())
        return explain_sentence(options, profile.get());
    if (!profile) {
        std::cerr << "slotwitness explain: name --sentence, --profile or both, --config and "
                     "--chassis, or --procedure\n";
        return exit_usage;
    }
    return explain_profile(*profile, pace, budget, options.json);
}

} // namespace slotwitness::program
