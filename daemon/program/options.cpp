#include "options.hpp"

#include "command_line_app.hpp"
#include "exit_code.hpp"

#include <cstdio>
#include <utility>

namespace slotwitness::program {

namespace {

manual::Argument argument_of(const CLI::Option& option) {
    const bool is_operand = option.get_positional();
    const bool is_switch = option.get_expected_max() == 0;
    return {.name = is_operand ? option.get_name(true) : "--" + option.get_lnames().front(),
            .value = is_switch ? "" : option.get_type_name(),
            .what = option.get_description(),
            .needed = option.get_required(),
            .repeats = option.get_expected_max() > 1};
}

/// The library asks for a filter where it would else give what was said alone.
bool every(const CLI::App*) {
    return true;
}

void add_verbs(const CLI::App& app, const std::string& before, std::vector<manual::Verb>& to) {
    for (const CLI::App* sub : app.get_subcommands(every)) {
        manual::Verb verb{before + sub->get_name(), sub->get_description(), {}, {}};
        for (const CLI::Option* option : sub->get_options()) {
            if (option == sub->get_help_ptr()) // every verb has it: it is told once
                continue;
            manual::Argument argument = argument_of(*option);
            (option->get_positional() ? verb.operands : verb.options)
                .push_back(std::move(argument));
        }
        // A word that only leads to verbs is none itself.
        if (sub->get_subcommands(every).empty())
            to.push_back(std::move(verb));
        add_verbs(*sub, before + sub->get_name() + ' ', to);
    }
}

/// Whether words end, or go wrong, where a verb should stand; then that is said, since the library
/// says only that it misses one.
bool verb_is_missing(const CLI::App& app, int argc, const char* const* argv) {
    const CLI::App* at = &app;
    int next = 1; // the word behind it
    std::string path = app.get_name();
    for (; !at->get_subcommands().empty(); ++next) {
        at = at->get_subcommands().front();
        path += ' ' + at->get_name();
    }
    std::string verbs;
    for (const CLI::App* verb : at->get_subcommands(every))
        verbs += (verbs.empty() ? "" : ", ") + verb->get_name();
    if (verbs.empty())
        return false;
    if (next < argc && argv[next][0] != '-')
        std::fprintf(stderr, "\"%s\" is no verb of %s. ", argv[next], path.c_str());
    std::fprintf(stderr, "%s takes one of: %s. \"%s --help\" tells what each does.\n", path.c_str(),
                 verbs.c_str(), path.c_str());
    return true;
}

} // namespace

tl::expected<Options, int> parse_options(int argc, const char* const* argv) {
    CommandLineApp line;
    CLI::App& app = line.app();
    try {
        app.parse(argc, argv);
        return *line.parsed();
    } catch (const CLI::RequiredError& error) {
        if (!verb_is_missing(app, argc, argv))
            app.exit(error);
        return tl::unexpected(static_cast<int>(exit_usage));
    } catch (const CLI::ParseError& error) {
        return tl::unexpected(static_cast<int>(app.exit(error) == 0 ? exit_pass : exit_usage));
    }
}

manual::CommandLine command_line() {
    CommandLineApp line;
    manual::CommandLine told{line.app().get_name(), SLOTWITNESS_VERSION, {}, {}};
    for (const CLI::Option* option : line.app().get_options())
        told.options.push_back(argument_of(*option));
    add_verbs(line.app(), "", told.verbs);
    return told;
}

} // namespace slotwitness::program
