#include "exit_code.hpp"
#include "record.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include <slotwitness/journal/store.hpp>
#include <slotwitness/readback/spelling.hpp>
#include <slotwitness/replay/replay.hpp>

#include <nlohmann/json.hpp>

#include <iostream>
#include <unistd.h>

namespace slotwitness::program {

namespace {

std::string code_text(const std::string& code) {
    return code.empty() ? "" : "  code " + readback::shown(code);
}

void print(const replay::ChassisReplay& chassis) {
    std::cout << chassis.chassis << ": " << chassis.entries << " entries, the chain is whole\n";
    const std::size_t columns = columns_of_terminal(STDOUT_FILENO);
    for (const replay::GateSummary& gate : chassis.gates)
        std::cout << readable("  " + gate.id + "  ",
                              gate.verdict +
                                  (gate.failure.empty() ? "" : " (" + gate.failure + ")") +
                                  (gate.decided.empty() ? "" : " at " + gate.decided) + "  " +
                                  gate.sentence,
                              columns)
                  << readable("      in the end: ", gate.reason + code_text(gate.code), columns);
    for (const replay::ProcedureSummary& procedure : chassis.procedures) {
        std::cout << "  " << procedure.id << "  " << procedure.word << "  " << procedure.title
                  << code_text(procedure.code) << '\n';
        for (const replay::StepSummary& step : procedure.steps)
            std::cout << "      " << step.name << "  " << step.stage << code_text(step.code)
                      << (step.read_back ? ", read back" : "") << '\n';
    }
    if (chassis.difference)
        std::cout << "  DIFFERS at entry " << chassis.difference->sequence << " ("
                  << replay::to_word(chassis.difference->kind) << "): " << chassis.difference->text
                  << '\n';
    else
        std::cout << "  every finding was computed again and is the same\n";
}

nlohmann::json to_json(const replay::ChassisReplay& chassis) {
    nlohmann::json gates = nlohmann::json::array();
    for (const replay::GateSummary& gate : chassis.gates)
        gates.push_back(
            {{"id", gate.id},
             {"sentence", gate.sentence},
             {"verdict", gate.verdict},
             {"failure", gate.failure.empty() ? nlohmann::json() : nlohmann::json(gate.failure)},
             {"decided", gate.decided.empty() ? nlohmann::json() : nlohmann::json(gate.decided)},
             {"because", gate.reason},
             {"code", gate.code.empty() ? nlohmann::json() : nlohmann::json(gate.code)}});
    nlohmann::json procedures = nlohmann::json::array();
    for (const replay::ProcedureSummary& procedure : chassis.procedures) {
        nlohmann::json steps = nlohmann::json::array();
        for (const replay::StepSummary& step : procedure.steps)
            steps.push_back({{"name", step.name},
                             {"stage", step.stage},
                             {"code", step.code},
                             {"read_back", step.read_back}});
        procedures.push_back(
            {{"id", procedure.id},
             {"title", procedure.title},
             {"word", procedure.word},
             {"code", procedure.code.empty() ? nlohmann::json() : nlohmann::json(procedure.code)},
             {"steps", std::move(steps)}});
    }
    nlohmann::json difference;
    if (chassis.difference)
        difference = {{"entry", chassis.difference->sequence},
                      {"kind", replay::to_word(chassis.difference->kind)},
                      {"text", chassis.difference->text}};
    return {{"chassis", chassis.chassis},
            {"entries", chassis.entries},
            {"gates", gates},
            {"procedures", procedures},
            {"difference", difference}};
}

} // namespace

int replay(const ReplayOptions& options) {
    const auto store = open_record_or_say(options.journal);
    if (!store)
        return store.error();
    const auto replayed = slotwitness::replay::replay(**store);
    if (!replayed) {
        std::cerr << "slotwitness: " << replayed.error().text << '\n';
        return exit_bad_data;
    }
    nlohmann::json all = nlohmann::json::array();
    bool same = true;
    for (const replay::ChassisReplay& chassis : *replayed) {
        same = same && !chassis.difference;
        if (options.json)
            all.push_back(to_json(chassis));
        else
            print(chassis);
    }
    if (options.json)
        std::cout << all.dump(2) << '\n';
    return same ? exit_pass : exit_fail;
}

} // namespace slotwitness::program
