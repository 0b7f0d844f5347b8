#include "report.hpp"

#include <CLI/CLI.hpp>

#include <algorithm>
#include <iostream>
#include <limits>
#include <malloc.h>

/// Exit 0: every stated bound holds; 1: one was missed; 2: a section could not be measured.
int main(int argc, char** argv) {
    using namespace slotwitness::bench;
    CLI::App app{"Measures Slotwitness beside peers that do the same job in the same run."};
    bool as_json = false;
    Scale scale;
    std::string only;
    app.add_flag("--json", as_json, "Print the table as JSON");
    app.add_flag("--quick", scale.quick, "Small inputs, one round, no bound counts");
    app.add_option("--section", only, "Only sections whose name begins so");
    CLI11_PARSE(app, argc, argv);

    // As in a daemon that reads answer after answer: memory that was given back stays with the
    // program, and no subject waits for the system to clear pages.
    mallopt(M_TRIM_THRESHOLD, std::numeric_limits<int>::max());
    mallopt(M_MMAP_MAX, 0);

    Report report;
    for (const Section& section : sections()) {
        if (!section.name.starts_with(only))
            continue;
        auto findings = section.run(scale);
        if (!findings) {
            std::cerr << section.name << ": " << findings.error() << '\n';
            return 2;
        }
        report.emplace_back(section.name, std::move(*findings));
    }
    if (report.empty()) {
        std::cerr << "no section begins with \"" << only << "\"; there are:\n";
        for (const Section& section : sections())
            std::cerr << "  " << section.name << '\n';
        return 2;
    }
    (as_json ? print_json : print_table)(report, std::cout);
    const bool holds = std::all_of(report.begin(), report.end(), [](const auto& part) {
        return std::all_of(part.second.entries.begin(), part.second.entries.end(),
                           [](const Entry& entry) { return entry.holds(); });
    });
    return holds || scale.quick ? 0 : 1;
}
