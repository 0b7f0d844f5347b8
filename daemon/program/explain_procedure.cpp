#include "exit_code.hpp"
#include "files.hpp"
#include "verbs.hpp"

#include <slotwitness/procedures/arguments.hpp>
#include <slotwitness/sheet/sheet.hpp>

#include <fstream>
#include <iostream>

namespace slotwitness::program {

namespace {

int say(const std::vector<state::Problem>& problems) {
    for (const state::Problem& problem : problems)
        std::cerr << state::to_text(problem) << '\n';
    return exit_bad_data;
}

/// What a parameter is, as people are asked for it.
std::string asked_for(const procedures::Parameter& parameter) {
    struct {
        std::string operator()(const procedures::ComponentOf& component) const {
            return std::string(state::to_word(component.kind)) +
                   (component.several ? ", one or more: \"3, 4\"" : "");
        }
        std::string operator()(const procedures::Figure& figure) const {
            return "a figure in " + std::string(units::to_text(figure.unit)) +
                   " with its document: \"… by handbook 4-2\"";
        }
        std::string operator()(const procedures::TimeLimit&) const {
            return "a time limit with its document: \"10 min by site rule 7\"";
        }
        std::string operator()(const procedures::Words&) const { return "words"; }
    } is;
    return std::visit(is, parameter.is) + ": " + parameter.say;
}

void print_parameters(const procedures::Procedure& procedure) {
    std::cout << procedure.title << "\n\nGive each of these with --with NAME=VALUE:\n";
    for (const auto& [name, parameter] : procedure.parameters)
        std::cout << "  " << name << "\n      " << asked_for(parameter) << '\n';
}

void print_step(const procedures::Step& step) {
    std::cout << "  " << step.name << " (" << procedures::to_word(step.actor) << ")\n"
              << "      waits for   " << step.fact << '\n'
              << "      act         " << step.act << '\n';
    for (const std::string& caution : step.cautions)
        std::cout << "                  " << caution << '\n';
    if (step.confirm)
        std::cout << "      asks        " << *step.confirm << '\n';
    if (step.effect)
        std::cout << "      then        " << *step.effect << '\n';
    std::cout << "      if it goes wrong here: " << step.if_wrong.say << '\n';
}

void print(const procedures::Procedure& procedure) {
    std::cout << procedure.title << "\n\nSteps, each released by the engineer:\n";
    for (const procedures::Step& step : procedure.steps)
        print_step(step);
    std::cout << "\nRules, throughout:\n";
    for (const procedures::Rule& rule : procedure.rules)
        std::cout << "  " << rule.name << ": " << rule.say << "\n      " << rule.holds << '\n';
    std::cout << "\nThe way back, as far as its steps were released:\n";
    for (const procedures::BackOutStep& step : procedure.back_out)
        print_step(step.step);
}

} // namespace

int explain_procedure(const ExplainOptions& options) {
    const auto text = read_file(options.procedure);
    if (!text) {
        std::cerr << "slotwitness: " << text.error() << '\n';
        return exit_no_input;
    }
    const auto procedure = procedures::parse_procedure({options.procedure, *text});
    if (!procedure)
        return say(procedure.error());
    if (options.with.empty() && !procedure->parameters.empty()) {
        print_parameters(*procedure);
        return exit_pass;
    }
    procedures::Arguments arguments;
    for (const std::string& with : options.with) {
        const std::size_t equals = with.find('=');
        if (equals == std::string::npos) {
            std::cerr << "slotwitness: --with \"" << with << "\" is not NAME=VALUE\n";
            return exit_usage;
        }
        arguments[with.substr(0, equals)] = with.substr(equals + 1);
    }
    const auto filled = procedures::fill_procedure(*procedure, arguments);
    if (!filled)
        return say(filled.error());
    if (options.sheet.empty()) {
        print(filled->procedure);
        return exit_pass;
    }
    sheet::SheetFacts facts;
    if (!options.profile.empty()) {
        const auto profile = load_profile(options.profile);
        if (!profile)
            return profile.error();
        facts.face = sheet::face_of(**profile, *filled, [](const std::string&) { return ""; });
    }
    std::ofstream file(options.sheet);
    file << sheet::run_sheet(*filled, facts);
    file.close();
    if (!file) {
        std::cerr << "slotwitness: cannot write " << options.sheet << '\n';
        return exit_unavailable;
    }
    std::cout << "run sheet: " << options.sheet << '\n';
    return exit_pass;
}

} // namespace slotwitness::program
