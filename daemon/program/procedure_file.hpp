#pragma once

#include <slotwitness/procedures/arguments.hpp>

#include <tl/expected.hpp>

#include <string>
#include <vector>

/// A procedure and its arguments as the command line gives them. Problems are printed to standard
/// error; the errors are exit codes.
namespace slotwitness::program {

struct ProcedureFile {
    std::string text;
    procedures::Procedure procedure;
};
[[nodiscard]] tl::expected<ProcedureFile, int> load_procedure_or_say(const std::string& path);

/// `with`: "module=FAB3", one a parameter.
[[nodiscard]] tl::expected<procedures::FilledProcedure, int>
fill_procedure_or_say(const procedures::Procedure& procedure, const std::vector<std::string>& with);

} // namespace slotwitness::program
