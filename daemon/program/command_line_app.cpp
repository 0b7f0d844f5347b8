#include "command_line_app.hpp"

#include "help.hpp"

namespace slotwitness::program {

namespace {

CLI::App* add_verb(CLI::App& of, const char* name, const char* what) {
    return of.add_subcommand(name, what)->group("Verbs");
}

/// What follows is said once: a word for people that completion understands as well.
template <class Value>
CLI::Option* option(CLI::App* verb, const char* name, Value& into, const char* value,
                    const char* what) {
    auto* option = verb->add_option(name, into, what)->type_name(value);
    // A list is given by saying the option again; else it would swallow the operands.
    if (option->get_expected_max() > 1 && !option->get_positional())
        option->allow_extra_args(false);
    return option;
}
void config(CLI::App* verb, std::string& into) {
    option(verb, "--config", into, "FILE", "Configuration file")->required();
}
void chassis(CLI::App* verb, std::string& into) {
    option(verb, "CHASSIS", into, "", "Its name in the configuration")->required();
}
void json(CLI::App* verb, bool& into, const char* what = "Print JSON, for programs") {
    verb->add_flag("--json", into, what);
}

} // namespace

CommandLineApp::CommandLineApp() {
    app_.name("slotwitness");
    app_.require_subcommand(1);
    app_.formatter(help_layout()); // before the verbs, which take it over
    app_.set_help_flag("-h,--help", "Print this help and end");
    app_.set_version_flag("--version", SLOTWITNESS_VERSION, "Print the version and end");
    serve();
    look();
    ask();
    ready();
    capture();
    read();
    explain();
    replay();
    report();
    rehearse();
    token();
}

CLI::App* CommandLineApp::verb(const char* name, const char* what) {
    return add_verb(app_, name, what);
}

void CommandLineApp::serve() {
    auto* serve = verb("serve", "Run the daemon");
    config(serve, serve_.config);
    option(serve, "--log", log_, "text|json",
           "How it writes its log on standard error: text for people, or one JSON object a line")
        ->check([](const std::string& form) {
            return form == "text" || form == "json" ? "" : "write --log text or --log json";
        })
        ->type_name("text|json");
    serve->callback([this] {
        serve_.log_as_json = log_ == "json";
        parsed_ = serve_;
    });
}

void CommandLineApp::look() {
    auto* look = verb("look", "Ask every query once and print the state that the device "
                              "reports");
    config(look, look_.config);
    option(look, "CHASSIS", look_.chassis, "",
           "Names in the configuration; without any, all of them");
    look->add_flag("--show-host-key", look_.show_host_keys,
                   "Print the host keys that the device shows, for you to compare there; "
                   "nothing is accepted and nothing else is asked");
    json(look, look_.json);
    when_said(look, look_);
}

void CommandLineApp::ask() {
    auto* ask = verb("ask", "Watch one gate until it is decided: exit 0 pass, 1 seen false, "
                            "75 not seen in time");
    config(ask, ask_.config);
    chassis(ask, ask_.chassis);
    option(ask, "SENTENCE", ask_.sentence, "",
           "What to wait for, such as 'plane 3 shut for 10 s within 5 min'")
        ->required();
    option(ask, "--gap", ask_.gap, "TIME", "Longest time between two looks, such as '20 s'");
    option(ask, "--journal", ask_.journal, "FILE",
           "Where the evidence goes; by default a new file in the temporary folder");
    json(ask, ask_.json, "Print JSON, one line for each change");
    when_said(ask, ask_);
}

void CommandLineApp::ready() {
    auto* ready = verb("ready", "Look once, and tell what would hold a piece of work up: exit "
                                "0 if nothing that it found does, 1 if something does");
    config(ready, ready_.config);
    chassis(ready, ready_.chassis);
    option(ready, "PROCEDURE", ready_.procedure, "FILE", "Procedure file")->required();
    option(ready, "--with", ready_.with, "NAME=VALUE",
           "A parameter of the procedure; repeat it for each of them");
    json(ready, ready_.json);
    when_said(ready, ready_);
}

void CommandLineApp::capture() {
    auto* capture = verb("capture", "Ask every query once and save the answers as an evidence "
                                    "pack");
    config(capture, capture_.config);
    chassis(capture, capture_.chassis);
    option(capture, "--to", capture_.to, "FOLDER",
           "A new or empty folder; by default one named after chassis and time");
    json(capture, capture_.json);
    when_said(capture, capture_);
}

void CommandLineApp::read() {
    auto* read = verb("read", "Show captured answers line by line with what a profile reads in "
                              "them");
    option(read, "--profile", read_.profile, "FILE", "Profile to read with");
    option(read, "--query", read_.query, "NAME",
           "Query that the files answer; by default each file's name without its ending");
    option(read, "--parameter", read_.parameters, "NAME=VALUE",
           "A parameter of that query; repeat it for each of them");
    read->add_flag("--draft", read_.draft,
                   "Propose a first profile from the files, on standard output");
    read->add_flag("--check", read_.check,
                   "The files are evidence packs: read them again and report what reads "
                   "differently");
    option(read, "ANSWER", read_.files, "FILE", "Captured answers; with --check evidence packs")
        ->required();
    json(read, read_.json);
    when_said(read, read_);
}

void CommandLineApp::explain() {
    auto* explain = verb("explain", "Say what a sentence needs to see, what a profile may "
                                    "send, or what a procedure asks for");
    option(explain, "--sentence", explain_.sentence, "SENTENCE", "Gate sentence");
    option(explain, "--profile", explain_.profile, "FILE",
           "Profile file; beside --sentence, the family that is asked");
    auto* config_file = option(explain, "--config", explain_.config, "FILE",
                               "Configuration file, in place of --profile: what looking costs "
                               "this chassis at its pace and budget");
    auto* of_chassis =
        option(explain, "--chassis", explain_.chassis, "NAME", "Name in the configuration");
    config_file->needs(of_chassis)->excludes("--profile");
    of_chassis->needs(config_file);
    option(explain, "--procedure", explain_.procedure, "FILE", "Procedure file");
    option(explain, "--with", explain_.with, "NAME=VALUE",
           "A parameter of the procedure; without any they are listed");
    option(explain, "--sheet", explain_.sheet, "FILE",
           "Write the procedure's run sheet there, as HTML; with --profile it shows the slots");
    json(explain, explain_.json);
    when_said(explain, explain_);
}

void CommandLineApp::replay() {
    auto* replay = verb("replay", "Verify a journal and compute its verdicts again");
    option(replay, "JOURNAL", replay_.journal, "FILE",
           "Journal file, or the folder of an evidence pack that the API gave")
        ->required();
    json(replay, replay_.json);
    when_said(replay, replay_);
}

void CommandLineApp::report() {
    auto* report = verb("report", "Print the card of a procedure, done or under way; without an "
                                  "ID, list what the journal holds");
    option(report, "JOURNAL", report_.journal, "FILE", "Journal file")->required();
    auto* id = option(report, "ID", report_.procedure, "", "The procedure's id");
    option(report, "--html", report_.page, "FILE",
           "Write the card to this file, as a page to print")
        ->needs(id);
    json(report, report_.json);
    when_said(report, report_);
}

void CommandLineApp::rehearse() {
    auto* rehearse = verb("rehearse", "Play a procedure on the simulated chassis: exit 0 if it "
                                      "went as written");
    config(rehearse, rehearse_.config);
    option(rehearse, "--control", rehearse_.control, "FILE",
           "Control socket of the simulated chassis")
        ->required();
    chassis(rehearse, rehearse_.chassis);
    option(rehearse, "REHEARSAL", rehearse_.rehearsal, "FILE", "Rehearsal file")->required();
    when_said(rehearse, rehearse_);
}

CLI::App* CommandLineApp::token_verb(CLI::App* token, const char* name, const char* what,
                                     TokenOptions::Act act) {
    auto* made = add_verb(*token, name, what);
    config(made, token_.config);
    made->callback([this, act] {
        token_.act = act;
        parsed_ = token_;
    });
    return made;
}

void CommandLineApp::token() {
    auto* token = verb("token", "Make, list and revoke tokens: who may do what over the API");
    token->require_subcommand(1);
    auto* make = token_verb(token, "make", "Make a token for one person; it is shown this once",
                            TokenOptions::Act::make);
    option(make, "--name", token_.person, "PERSON", "Whose it is, such as 'A. Person'")->required();
    option(make, "--role", token_.role, "viewer|rack|engineer|auditor", "What they may do")
        ->required();
    option(make, "--expires", token_.expires, "TIME",
           "How long it lasts, such as 8h; by default 12 h");
    option(make, "--procedure", token_.procedure, "ID", "Of a rack token: the procedure's id");
    option(make, "--address", token_.address, "URL",
           "Of a rack token: how a phone reaches the daemon; by default as the configuration says");
    make->add_flag("--qr", token_.qr,
                   "Of a rack token: draw its address as a QR code even where standard error is no "
                   "terminal");
    json(make, token_.json);
    json(token_verb(token, "list", "List the tokens that were made, and whose they are",
                    TokenOptions::Act::list),
         token_.json);
    auto* revoke = token_verb(token, "revoke", "Revoke a token: nobody gets in by it any more",
                              TokenOptions::Act::revoke);
    option(revoke, "ID", token_.id, "", "The token's id, as the list shows it")->required();
    json(revoke, token_.json);
}

} // namespace slotwitness::program
