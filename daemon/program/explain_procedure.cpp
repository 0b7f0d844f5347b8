#include "exit_code.hpp"
#include "files.hpp"
#include "procedure_file.hpp"
#include "verbs.hpp"

#include <slotwitness/marked/wrapped.hpp>
#include <slotwitness/sheet/sheet.hpp>

#include <iostream>

namespace slotwitness::program {

using marked::wrapped;

namespace {

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
    for (const auto& [name, parameter] : procedure.parameters) {
        std::cout << "  " << name << '\n';
        std::cout << wrapped("      ", asked_for(parameter));
    }
}

void print_step(const procedures::Step& step) {
    std::cout << "  " << step.name << " (" << procedures::to_word(step.actor) << ")\n";
    std::cout << wrapped("      waits for   ", step.fact);
    std::cout << wrapped("      act         ", step.act);
    for (const std::string& caution : step.cautions)
        std::cout << wrapped("                  ", caution);
    if (step.confirm)
        std::cout << wrapped("      asks        ", *step.confirm);
    if (step.effect)
        std::cout << wrapped("      then        ", *step.effect);
    std::cout << wrapped("      if it goes wrong here: ", step.if_wrong.say);
}

void print(const procedures::Procedure& procedure) {
    std::cout << procedure.title << '\n';
    if (!procedure.ready.empty())
        std::cout << "\nBefore the work, by \"slotwitness ready\":\n";
    for (const procedures::ReadyCheck& ready : procedure.ready) {
        std::cout << wrapped("  " + ready.name + ": ", ready.say);
        std::cout << wrapped("      ", ready.holds);
    }
    std::cout << "\nSteps, each released by the engineer:\n";
    for (const procedures::Step& step : procedure.steps)
        print_step(step);
    std::cout << "\nRules, throughout:\n";
    for (const procedures::Rule& rule : procedure.rules) {
        std::cout << wrapped("  " + rule.name + ": ", rule.say);
        std::cout << wrapped("      ", rule.holds);
    }
    std::cout << "\nThe way back, as far as its steps were released:\n";
    for (const procedures::BackOutStep& step : procedure.back_out)
        print_step(step.step);
}

} // namespace

int explain_procedure(const ExplainOptions& options) {
    const auto file = load_procedure_or_say(options.procedure);
    if (!file)
        return file.error();
    if (options.with.empty() && !file->procedure.parameters.empty()) {
        print_parameters(file->procedure);
        return exit_pass;
    }
    const auto filled = fill_procedure_or_say(file->procedure, options.with);
    if (!filled)
        return filled.error();
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
    if (!write_file(options.sheet, sheet::run_sheet(*filled, facts))) {
        std::cerr << "slotwitness: cannot write " << options.sheet << '\n';
        return exit_unavailable;
    }
    std::cout << "run sheet: " << options.sheet << '\n';
    return exit_pass;
}

} // namespace slotwitness::program
