#include "exit_code.hpp"
#include "verbs.hpp"

#include <CLI/CLI.hpp>
#include <spdlog/sinks/stdout_color_sinks.h>
#include <spdlog/spdlog.h>

#include <cstdio>
#include <exception>
#include <functional>
#include <sys/resource.h>

namespace program = slotwitness::program;

namespace {

int run(int argc, char** argv) {
    CLI::App app{"Watches a router and tells what the device reports. It never changes a device."};
    app.name("slotwitness");
    app.require_subcommand(1);
    app.set_version_flag("--version", SLOTWITNESS_VERSION);
    std::function<int()> verb;

    program::ServeOptions serve;
    auto* serve_command = app.add_subcommand("serve", "Run the daemon");
    serve_command->add_option("--config", serve.config, "Configuration file")->required();
    serve_command->callback([&] { verb = [&] { return program::serve(serve); }; });

    program::LookOptions look;
    auto* look_command = app.add_subcommand(
        "look", "Ask every query once and print the state that the device reports");
    look_command->add_option("--config", look.config, "Configuration file")->required();
    look_command->add_option("chassis", look.chassis, "Names of the configuration; all without");
    look_command->add_flag("--show-host-key", look.show_host_keys,
                           "Print the host keys that the device shows, for you to compare there; "
                           "nothing is accepted and nothing else is asked");
    look_command->add_flag("--json", look.json, "Print JSON");
    look_command->callback([&] { verb = [&] { return program::look(look); }; });

    program::AskOptions ask;
    auto* ask_command = app.add_subcommand(
        "ask", "Watch one gate until it is decided: exit 0 pass, 1 fail, 75 not seen in time");
    ask_command->add_option("--config", ask.config, "Configuration file")->required();
    ask_command->add_option("chassis", ask.chassis, "Name in the configuration")->required();
    ask_command->add_option("sentence", ask.sentence, "Such as: plane 3 shut for 10 s within 5 min")
        ->required();
    ask_command->add_option("--gap", ask.gap, "Longest time between two looks, such as \"20 s\"");
    ask_command->add_option("--journal", ask.journal,
                            "Where the evidence goes; a new file in the temporary folder without");
    ask_command->add_flag("--json", ask.json, "Print JSON, a line a change");
    ask_command->callback([&] { verb = [&] { return program::ask(ask); }; });

    program::ReadOptions read;
    auto* read_command = app.add_subcommand(
        "read", "Show captured answers line by line with what a profile reads in them");
    read_command->add_option("--profile", read.profile, "Profile file");
    read_command->add_option(
        "--query", read.query,
        "Query that the files answer; the file's name without its ending otherwise");
    read_command
        ->add_option("--parameter", read.parameters, "NAME=VALUE of a query with a parameter")
        ->allow_extra_args(false);
    read_command->add_flag("--draft", read.draft,
                           "Propose a first profile from the files, on standard output");
    read_command->add_flag(
        "--check", read.check,
        "The files are evidence packs: read them again and report what reads differently");
    read_command->add_option("files", read.files, "Captured answers, or evidence packs")
        ->required();
    read_command->add_flag("--json", read.json, "Print JSON");
    read_command->callback([&] { verb = [&] { return program::read(read); }; });

    program::CaptureOptions capture;
    auto* capture_command = app.add_subcommand(
        "capture", "Ask every query once and save the answers as an evidence pack");
    capture_command->add_option("--config", capture.config, "Configuration file")->required();
    capture_command->add_option("chassis", capture.chassis, "Name in the configuration")
        ->required();
    capture_command->add_option("--to", capture.to,
                                "Folder, new or empty; one named after chassis and time without");
    capture_command->add_flag("--json", capture.json, "Print JSON");
    capture_command->callback([&] { verb = [&] { return program::capture(capture); }; });

    program::ReplayOptions replay;
    auto* replay_command =
        app.add_subcommand("replay", "Verify a journal and compute its verdicts again");
    replay_command->add_option("journal", replay.journal, "Journal file")->required();
    replay_command->add_flag("--json", replay.json, "Print JSON");
    replay_command->callback([&] { verb = [&] { return program::replay(replay); }; });

    program::ReportOptions report;
    auto* report_command = app.add_subcommand(
        "report", "The card of a procedure, done or under way; without an id what a journal has");
    report_command->add_option("journal", report.journal, "Journal file")->required();
    auto* report_procedure =
        report_command->add_option("procedure", report.procedure, "The procedure's id");
    report_command->add_flag("--json", report.json, "Print JSON");
    report_command
        ->add_option("--html", report.page, "Write the card to this file, as a page to print")
        ->needs(report_procedure);
    report_command->callback([&] { verb = [&] { return program::report(report); }; });

    program::ExplainOptions explain;
    auto* explain_command = app.add_subcommand(
        "explain", "Say what a sentence needs to see, or what a profile may send");
    explain_command->add_option("--sentence", explain.sentence, "Gate sentence");
    explain_command->add_option("--profile", explain.profile, "Profile file");
    auto* explain_config = explain_command->add_option(
        "--config", explain.config,
        "Configuration file: what looking costs this chassis at its pace and budget");
    auto* explain_chassis =
        explain_command->add_option("--chassis", explain.chassis, "Name in the configuration");
    explain_config->needs(explain_chassis)->excludes("--profile");
    explain_chassis->needs(explain_config);
    explain_command->add_option("--procedure", explain.procedure, "Procedure file");
    explain_command
        ->add_option("--with", explain.with,
                     "NAME=VALUE of a parameter of the procedure; without any it lists them")
        ->allow_extra_args(false);
    explain_command->add_option(
        "--sheet", explain.sheet,
        "Write the procedure's run sheet to this file, as HTML; with --profile it "
        "shows the slots");
    explain_command->add_flag("--json", explain.json, "Print JSON");
    explain_command->require_option(1, 0);
    explain_command->callback([&] { verb = [&] { return program::explain(explain); }; });

    program::ReadyOptions ready;
    auto* ready_command = app.add_subcommand(
        "ready", "Look once, and tell what would hold a piece of work up: exit 0 if nothing found "
                 "does, 1 if something does, 75 router not reached");
    ready_command->add_option("--config", ready.config, "Configuration file")->required();
    ready_command->add_option("chassis", ready.chassis, "Name in the configuration")->required();
    ready_command->add_option("procedure", ready.procedure, "Procedure file")->required();
    ready_command->add_option("--with", ready.with, "NAME=VALUE of each parameter of the procedure")
        ->allow_extra_args(false);
    ready_command->add_flag("--json", ready.json, "Print JSON");
    ready_command->callback([&] { verb = [&] { return program::ready(ready); }; });

    program::RehearseOptions rehearse;
    auto* rehearse_command = app.add_subcommand(
        "rehearse", "Play a procedure on the simulated chassis: exit 0 if it went as written");
    rehearse_command->add_option("--config", rehearse.config, "Configuration file")->required();
    rehearse_command
        ->add_option("--control", rehearse.control, "Control socket of the simulated chassis")
        ->required();
    rehearse_command->add_option("chassis", rehearse.chassis, "Name in the configuration")
        ->required();
    rehearse_command->add_option("rehearsal", rehearse.rehearsal, "Rehearsal file")->required();
    rehearse_command->callback([&] { verb = [&] { return program::rehearse(rehearse); }; });

    program::TokenOptions token;
    auto* token_command = app.add_subcommand("token", "Who may do what over the API");
    token_command->require_subcommand(1);
    const auto token_verb = [&](const char* name, const char* what,
                                int (*act)(const program::TokenOptions&)) {
        auto* command = token_command->add_subcommand(name, what);
        command->add_option("--config", token.config, "Configuration file")->required();
        command->add_flag("--json", token.json, "Print JSON");
        command->callback([&token, &verb, act] { verb = [&token, act] { return act(token); }; });
        return command;
    };
    auto* make_command = token_verb("make", "Make a token for one person; it is shown this once",
                                    program::make_token);
    make_command->add_option("--name", token.person, "The person, such as \"A. Person\"")
        ->required();
    make_command->add_option("--role", token.role, "viewer, rack, engineer or auditor")->required();
    make_command->add_option("--expires", token.expires,
                             "After how long, such as 12h; 12 h without");
    make_command->add_option("--procedure", token.procedure, "Of a rack token: the procedure's id");
    token_verb("list", "List the tokens that were made, and whose they are", program::list_tokens);
    token_verb("revoke", "Let nobody in by a token any more", program::revoke_token)
        ->add_option("id", token.id, "The token's id, as the list shows it")
        ->required();

    try {
        app.parse(argc, argv);
    } catch (const CLI::RequiredError& error) {
        // Of a word that is no verb the library only says that it misses one.
        if (argc > 1 && app.get_subcommands().empty())
            std::fprintf(stderr, "\"%s\" is no verb of slotwitness.\n", argv[1]);
        return app.exit(error) == 0 ? program::exit_pass : program::exit_usage;
    } catch (const CLI::ParseError& error) {
        const int code = app.exit(error);
        return code == 0 ? program::exit_pass : program::exit_usage;
    }
    // Standard output is for answers; what the daemon says of itself goes beside them.
    spdlog::set_default_logger(spdlog::stderr_color_mt("slotwitness"));
    return verb();
}

/// Secrets that are in use stand in memory, and a core is memory in a file. Where the system hands
/// cores to a program the limit is not heeded (core(5)), but for 1, at which Linux makes none at
/// all.
void keep_no_core() {
    constexpr rlimit none{1, 1};
    ::setrlimit(RLIMIT_CORE, &none);
}

} // namespace

int main(int argc, char** argv) {
    keep_no_core();
    try {
        return run(argc, argv);
    } catch (const std::exception& error) {
        std::fprintf(stderr, "slotwitness: a defect of its own: %s\n", error.what());
        return program::exit_defect;
    }
}
