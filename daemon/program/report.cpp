#include "exit_code.hpp"
#include "files.hpp"
#include "record.hpp"
#include "verbs.hpp"

#include <slotwitness/card/from_journal.hpp>
#include <slotwitness/card/print.hpp>
#include <slotwitness/marked/wrapped.hpp>

#include <nlohmann/json.hpp>

#include <iostream>
#include <optional>

namespace slotwitness::program {

namespace {

std::string word_of(const witness::GateFinding& finding) {
    std::string word(witness::to_word(finding.verdict));
    if (finding.failure)
        word += " (" + std::string(witness::to_word(*finding.failure)) + ")";
    return word;
}

/// How the procedure ended, else the word that the journal recorded last.
std::string word_of(const witness::ProcedureFinding& finding) {
    return finding.outcome
               ? std::string(witness::to_word(*finding.outcome))
               : "under way, last recorded word " + std::string(witness::to_word(finding.word));
}

void print_list(const std::string& chassis, const card::FromJournal& found) {
    std::cout << marked::wrapped("", chassis + ", up to " + units::to_rfc3339(found.last));
    if (found.procedures.empty() && found.gates.empty())
        std::cout << "  no procedure and no gate was opened\n";
    for (const card::Record& record : found.procedures) {
        const auto& finding = record.procedure.finding;
        std::cout << marked::wrapped("  " + finding.id + "  ",
                                     units::to_rfc3339(finding.opened) + ", procedure " +
                                         word_of(finding) + ": " + finding.title);
    }
    for (const replay::RecordedGate& gate : found.gates)
        std::cout << marked::wrapped("  " + gate.opened.id + "  ",
                                     units::to_rfc3339(gate.finding.opened) + ", gate " +
                                         word_of(gate.finding) + ": " + gate.opened.sentence);
}

nlohmann::json list_of(const std::string& chassis, const card::FromJournal& found) {
    nlohmann::json procedures = nlohmann::json::array();
    for (const card::Record& record : found.procedures) {
        const auto& finding = record.procedure.finding;
        procedures.push_back(
            {{"id", finding.id},
             {"title", finding.title},
             {"opened", units::to_rfc3339(finding.opened)},
             {"phase", witness::to_word(finding.phase)},
             {"word", witness::to_word(finding.word)},
             {"outcome", finding.outcome ? nlohmann::json(witness::to_word(*finding.outcome))
                                         : nlohmann::json()}});
    }
    nlohmann::json gates = nlohmann::json::array();
    for (const replay::RecordedGate& gate : found.gates)
        gates.push_back({{"id", gate.opened.id},
                         {"sentence", gate.opened.sentence},
                         {"opened", units::to_rfc3339(gate.finding.opened)},
                         {"verdict", witness::to_word(gate.finding.verdict)},
                         {"failure", gate.finding.failure
                                         ? nlohmann::json(witness::to_word(*gate.finding.failure))
                                         : nlohmann::json()}});
    return {{"chassis", chassis},
            {"as_of", units::to_rfc3339(found.last)},
            {"procedures", std::move(procedures)},
            {"gates", std::move(gates)}};
}

int complain(const std::string& text, int code) {
    std::cerr << marked::wrapped("slotwitness: ", text, 1000);
    return code;
}

} // namespace

int report(const ReportOptions& options) {
    const auto store = open_record_or_say(options.journal);
    if (!store)
        return store.error();
    const auto names = (*store)->chassis();
    if (!names)
        return complain(names.error().text, exit_bad_data);
    nlohmann::json lists = nlohmann::json::array();
    for (const std::string& name : *names) {
        const auto found = card::from_journal(**store, name);
        if (!found)
            return complain(found.error().text, exit_bad_data);
        if (options.procedure.empty()) {
            if (options.json)
                lists.push_back(list_of(name, *found));
            else
                print_list(name, *found);
            continue;
        }
        for (const card::Record& record : found->procedures) {
            if (record.procedure.opened.id != options.procedure)
                continue;
            const card::Card card = card::card_of(record, found->last);
            if (!options.page.empty() && !write_file(options.page, to_page(card)))
                return complain("cannot write " + options.page, exit_unavailable);
            if (!options.page.empty() && !options.json)
                return exit_pass;
            std::cout << (options.json ? to_json(card).dump(2) + "\n" : to_text(card));
            return exit_pass;
        }
    }
    if (!options.procedure.empty())
        return complain("the journal has no procedure \"" + options.procedure +
                            "\"; without an id the report lists those that it has",
                        exit_no_input);
    if (options.json)
        std::cout << lists.dump(2) << '\n';
    return exit_pass;
}

} // namespace slotwitness::program
