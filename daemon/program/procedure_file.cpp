#include "procedure_file.hpp"

#include "exit_code.hpp"
#include "files.hpp"

#include <iostream>
#include <utility>

namespace slotwitness::program {

namespace {

int say_problems(const std::vector<state::Problem>& problems) {
    for (const state::Problem& problem : problems)
        std::cerr << state::to_text(problem) << '\n';
    return exit_bad_data;
}

} // namespace

tl::expected<ProcedureFile, int> load_procedure_or_say(const std::string& path) {
    auto text = read_file(path);
    if (!text) {
        std::cerr << "slotwitness: " << text.error() << '\n';
        return tl::unexpected(static_cast<int>(exit_no_input));
    }
    auto procedure = procedures::parse_procedure({path, *text});
    if (!procedure)
        return tl::unexpected(say_problems(procedure.error()));
    return ProcedureFile{std::move(*text), std::move(*procedure)};
}

tl::expected<procedures::FilledProcedure, int>
fill_procedure_or_say(const procedures::Procedure& procedure,
                      const std::vector<std::string>& with) {
    procedures::Arguments arguments;
    for (const std::string& each : with) {
        const std::size_t equals = each.find('=');
        if (equals == std::string::npos) {
            std::cerr << "slotwitness: --with \"" << each << "\" is not NAME=VALUE\n";
            return tl::unexpected(static_cast<int>(exit_usage));
        }
        arguments[each.substr(0, equals)] = each.substr(equals + 1);
    }
    auto filled = procedures::fill_procedure(procedure, arguments);
    if (!filled) {
        const int code = say_problems(filled.error());
        std::cerr
            << "Say each parameter with --with 'NAME=VALUE'; \"slotwitness explain --procedure "
               "FILE\" lists them.\n";
        return tl::unexpected(code);
    }
    return std::move(*filled);
}

} // namespace slotwitness::program
