#include "command_line.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <filesystem>
#include <fstream>

namespace slotwitness::program {
namespace {

using testing::HasSubstr;

TEST_F(CommandLine, an_unknown_verb_is_a_usage_error) {
    const Ran ran = run({"configure"});
    EXPECT_EQ(ran.status, 64);
    EXPECT_THAT(ran.output, HasSubstr("\"configure\" is no verb of slotwitness. slotwitness takes "
                                      "one of: serve, look, ask"));
    EXPECT_THAT(run({}).output, HasSubstr("slotwitness takes one of: serve"));
    const Ran token = run({"token", "steal"});
    EXPECT_EQ(token.status, 64);
    EXPECT_THAT(token.output, HasSubstr("\"steal\" is no verb of slotwitness token. slotwitness "
                                        "token takes one of: make, list, revoke."));
    EXPECT_THAT(run({"look"}).output, HasSubstr("--config is required"));
}

TEST_F(CommandLine, help_names_the_verbs) {
    const Ran ran = run({"--help"});
    EXPECT_EQ(ran.status, 0);
    EXPECT_THAT(ran.output, HasSubstr("Usage: slotwitness [OPTIONS] VERB"));
    EXPECT_THAT(ran.output, HasSubstr("\nVerbs:\n  serve"));
}

TEST_F(CommandLine, explain_prints_the_canonical_sentence_and_what_it_asks) {
    const Ran ran =
        run({"explain", "--profile", quillon, "--sentence", "plane  3 shut within 5 min for 10 s"});
    EXPECT_EQ(ran.status, 0) << ran.output;
    EXPECT_THAT(ran.output, HasSubstr("plane 3 shut for 10 s within 5 min"));
    EXPECT_THAT(ran.output, HasSubstr("tell planes"));
    EXPECT_THAT(ran.output, HasSubstr("2 s old"));
}

TEST_F(CommandLine, a_bad_sentence_is_exit_65_and_names_the_column) {
    const Ran ran = run({"explain", "--sentence", "plane 3 shutt"});
    EXPECT_EQ(ran.status, 65);
    EXPECT_THAT(ran.output, HasSubstr("sentence:1:9"));
}

TEST_F(CommandLine, explains_that_capacity_without_a_module_needs_to_see_what_it_serves) {
    const Ran ran =
        run({"explain", "--sentence", "capacity without module FAB3 covers load with 20 % margin",
             "--profile", quillon});
    EXPECT_EQ(ran.status, 0) << ran.output;
    for (const char* request : {"tell chassis", "tell modules", "tell planes"})
        EXPECT_THAT(ran.output, HasSubstr(request));
}

TEST_F(CommandLine, explain_without_anything_to_explain_is_a_usage_error) {
    EXPECT_EQ(run({"explain"}).status, 64);
    EXPECT_EQ(run({"explain", "--json"}).status, 64);
}

TEST_F(CommandLine, explain_lists_every_request_of_a_profile) {
    const Ran ran = run({"explain", "--profile", quillon});
    EXPECT_EQ(ran.status, 0) << ran.output;
    for (const char* request : {"tell chassis", "tell planes", "tell module [module: 1 to 8 of"})
        EXPECT_THAT(ran.output, HasSubstr(request));
}

TEST_F(CommandLine, explain_tells_what_looking_costs_a_device) {
    const Ran ran = run({"explain", "--profile", quillon});
    EXPECT_EQ(ran.status, 0) << ran.output;
    // 10 queries without a parameter, each 2 s or each 60 s.
    for (const char* line : {"10 queries a look", "18000 queries an hour while a gate is pending",
                             "600 queries an hour while idle", "accounting records"})
        EXPECT_THAT(ran.output, HasSubstr(line));
}

TEST_F(CommandLine, explain_tells_what_a_configured_chassis_pays_at_its_pace_within_its_budget) {
    const std::string head = "[daemon]\njournal = \"journal\"\n[[chassis]]\nname = \"edge-7\"\n"
                             "profile = \"" +
                             quillon +
                             "\"\naddress = \"192.0.2.7\"\nuser = \"watcher\"\nkey = "
                             "\"key\"\nknown-hosts = \"known_hosts\"\n";
    const std::string config = write("site.toml", head + "[chassis.pace]\npending = \"5 s\"\n"
                                                         "[chassis.budget]\n"
                                                         "queries-an-hour = 600\n");
    const Ran ran = run({"explain", "--config", config, "--chassis", "edge-7"});
    EXPECT_EQ(ran.status, 0) << ran.output;
    for (const char* line :
         {"600 queries an hour while a gate is pending or a procedure is open, a look each 5 s",
          "300 queries an hour while idle", "1 more at each connecting",
          "never more than 600 queries in any hour"})
        EXPECT_THAT(ran.output, HasSubstr(line));

    const std::string small =
        write("small.toml", head + "[chassis.budget]\nqueries-an-hour = 21\n");
    const Ran refused = run({"explain", "--config", small, "--chassis", "edge-7"});
    EXPECT_EQ(refused.status, 78);
    EXPECT_THAT(refused.output, HasSubstr("at least 22"));
}

TEST_F(CommandLine, explain_lists_every_byte_that_a_shell_can_get) {
    const std::string profile =
        "[profile]\nformat = 1\nfamily = \"Test\"\nbased-on = \"" + quillon +
        "\"\n[grammar]\nrules = 'prompt = \"edge> \"'\n[terminal]\npagers = [\"-- hold --\"]\n"
        "[reach]\nby = \"shell\"\nprompt = [\"prompt\"]\nsession-queries = [\"page off\"]\n"
        "pager-key = \"blank\"\n";
    const Ran ran = run({"explain", "--profile", write("shell.toml", profile)});
    EXPECT_EQ(ran.status, 0) << ran.output;
    for (const char* part : {"  tell planes\n", "After each login, once:\n  page off\n",
                             "The key blank answers a line with nothing but \"-- hold --\"",
                             "return key alone", "1 terminal line"})
        EXPECT_THAT(ran.output, HasSubstr(part));
    const Ran console =
        run({"explain", "--profile",
             write("console.toml", profile + "console = true\nredraw-key = \"ctrl-l\"\n"
                                             "clear-key = \"ctrl-u\"\n")});
    EXPECT_EQ(console.status, 0) << console.output;
    for (const char* part :
         {"After each connect, once:\n  page off\n", "The key ctrl-l asks for the prompt",
          "but the key ctrl-u where something stands there"})
        EXPECT_THAT(console.output, HasSubstr(part));
}

TEST_F(CommandLine, a_missing_file_is_exit_66) {
    EXPECT_EQ(run({"serve", "--config", "nosuch.toml"}).status, 66);
    EXPECT_EQ(run({"read", "--profile", "nosuch.toml", "x.txt"}).status, 66);
    EXPECT_EQ(run({"read", "--profile", quillon, "--query", "planes", "nosuch.txt"}).status, 66);
    EXPECT_EQ(run({"replay", "nosuch.journal"}).status, 66);
    EXPECT_EQ(run({"report", "nosuch.journal"}).status, 66);
}

TEST_F(CommandLine, the_daemon_does_not_start_on_a_bad_configuration_and_names_every_fault) {
    const std::string file =
        config("name = \"edge-7\"\nprofile = \"" + quillon + "\"\nadress = \"x\"\nport = 0\n");
    const Ran ran = run({"serve", "--config", file});
    EXPECT_EQ(ran.status, 78);
    EXPECT_THAT(ran.output, HasSubstr(file + ":6:")) << "the misspelt key's line";
    EXPECT_THAT(ran.output, HasSubstr("adress"));
    EXPECT_THAT(ran.output, HasSubstr("a whole number from 1 to 65535"));
    EXPECT_THAT(ran.output, HasSubstr("Add for example: known-hosts"));
}

TEST_F(CommandLine, a_bad_profile_is_named_with_its_own_line) {
    const std::string profile =
        write("bad.toml", "[profile]\nformat = 1\nfamily = \"F\"\n[query.q]\nask = [\"a;b\"]\n");
    std::string chassis = whole_chassis();
    chassis.replace(chassis.find(quillon), quillon.size(), profile);
    const Ran ran = run({"serve", "--config", config(chassis)});
    EXPECT_EQ(ran.status, 78);
    EXPECT_THAT(ran.output, HasSubstr(profile + ":5:"));
}

TEST_F(CommandLine, a_peak_that_is_no_rate_is_named) {
    for (const char* load : {"9", "9 W", "0 b/s", "much"}) {
        const Ran ran =
            run({"serve", "--config",
                 config(whole_chassis() + "[chassis.peak]\nload = \"" + load + "\"\n")});
        EXPECT_EQ(ran.status, 78) << load;
        EXPECT_THAT(ran.output, HasSubstr("a rate above 0, with its unit")) << load;
    }
}

TEST_F(CommandLine, broken_toml_is_named_with_its_line) {
    const Ran ran = run({"serve", "--config", write("broken.toml", "[daemon]\njournal = \n")});
    EXPECT_EQ(ran.status, 78);
    EXPECT_THAT(ran.output, HasSubstr("broken.toml:2:"));
}

TEST_F(CommandLine, a_chassis_without_credential_or_trust_is_refused_with_a_remedy) {
    const std::string begin =
        "name = \"edge-7\"\nprofile = \"" + quillon + "\"\naddress = \"127.0.0.1\"\nuser = \"u\"\n";
    const std::string pinned = "host-keys = [\"SHA256:" + std::string(43, 'A') + "\"]\n";
    struct Case {
        std::string lines, says;
    };
    for (const Case& fault : {
             Case{"known-hosts = \"h\"\n", "or password = "},
             Case{"key = \"k\"\n", "or host-keys = "},
             Case{"key = \"k\"\nknown-hosts = \"h\"\n" + pinned, "Leave one out"},
             Case{"key = \"k\"\nhost-keys = [\"MD5:aa\"]\n", "SHA256: and 43 characters"},
             Case{"key = \"k\"\nhost-keys = []\n", "at least one fingerprint"},
             Case{"password = \"p\"\nkey-passphrase = \"q\"\n" + pinned,
                  "a key that it belongs to"},
             Case{"password = \"credential:p\"\n" + pinned, "LoadCredential="},
             Case{"key = \"k\"\nthrough = [\"b9\"]\n" + pinned, "the name of a [[bastion]]"},
             Case{"key = \"k\"\nthrough = [\"b1\", \"b1\"]\n" + pinned +
                      "[[bastion]]\nname = \"b1\"\naddress = \"127.0.0.1\"\nuser = \"u\"\nkey = "
                      "\"k\"\n" +
                      pinned,
                  "each bastion once"},
             Case{"key = \"k\"\nthrough = [\"b1\"]\n" + pinned +
                      "[[bastion]]\nname = \"b1\"\naddress = \"127.0.0.1\"\nuser = \"u\"\n" +
                      pinned,
                  "or password = "},
             Case{"key = \"k\"\nalso-at = [\"127.0.0.1\"]\n" + pinned,
                  "each address of the chassis once"},
             Case{"password = \"p\"\nagent = \"s\"\n" + pinned, "the public half"},
             Case{"key = \"k\"\nagent = \"s\"\nkey-passphrase = \"q\"\n" + pinned,
                  "no passphrase beside an agent"},
             Case{"key = \"k\"\nalgorithms = { mac = [\"hmac-md5\"] }\n" + pinned,
                  "one of hmac-sha2-256-etm@openssh.com"},
         }) {
        const Ran ran = run({"serve", "--config", config(begin + fault.lines)});
        EXPECT_EQ(ran.status, 78) << ran.output;
        EXPECT_THAT(ran.output, HasSubstr(fault.says)) << fault.lines;
    }
}

TEST_F(CommandLine, ask_refuses_a_chassis_that_is_not_configured) {
    const Ran ran = run({"ask", "--config", config(whole_chassis()), "edge-8", "plane 3 down"});
    EXPECT_EQ(ran.status, 64);
    EXPECT_THAT(ran.output, HasSubstr("no chassis edge-8; it has edge-7"));
}

TEST_F(CommandLine, read_prints_typed_state_and_unread_lines) {
    const std::string answer =
        write("planes.txt", "PLANE  DRIVE     CONDITION  PATHS   OF  CARRIES UP TO  FAULTS\n"
                            "-----  --------  ---------  -----  ---  -------------  ------\n"
                            "3      released  dark           0   48         0 Tb/s       0\n"
                            "something else\n");
    const Ran ran = run({"read", "--profile", quillon, answer});
    EXPECT_EQ(ran.status, 65);
    EXPECT_THAT(ran.output, HasSubstr("admin locked"));
    EXPECT_THAT(ran.output, HasSubstr("planes.txt:4:"));
    const auto json =
        nlohmann::json::parse(run({"read", "--json", "--profile", quillon, answer}).output);
    EXPECT_EQ(json[0]["rows"][0]["facts"]["oper"]["value"], "disabled");
    EXPECT_EQ(json[0]["unread"][0]["line"], 4);
}

TEST_F(CommandLine, read_marks_each_line_and_points_at_what_it_cannot_read) {
    const std::string answer = write("controllers.txt", "SLOT  ROLE     CONDITION  SERIAL\n"
                                                        "CTL0  leading  sparkling  QL40300041\n"
                                                        "CTL1overheated running    QL40300042\n");
    const Ran ran = run({"read", "--profile", quillon, answer});
    EXPECT_EQ(ran.status, 65);
    EXPECT_THAT(ran.output, HasSubstr("         1 | SLOT  ROLE     CONDITION  SERIAL\n"
                                      "    row  2 | CTL0  leading  sparkling  QL40300041\n"
                                      "           |   > controller CTL0: "));
    EXPECT_THAT(ran.output, HasSubstr("           |                ^ \"sparkling\""));
    EXPECT_THAT(ran.output, HasSubstr(" UNREAD  3 | CTL1overheated running    QL40300042\n"
                                      "           |      ^ expected a blank before the column"));
    EXPECT_THAT(ran.output, HasSubstr("1 row; 1 line UNREAD, 1 remark"));
}

TEST_F(CommandLine, read_shows_nothing_that_a_terminal_acts_on) {
    const std::string answer = write("alarms.txt", "No alarms.\x1b]0;x\n");
    const Ran ran = run({"read", "--profile", quillon, answer});
    EXPECT_EQ(ran.status, 65);
    EXPECT_EQ(ran.output.find('\x1b'), std::string::npos);
    EXPECT_THAT(ran.output, HasSubstr("No alarms.\\x1B]0;x"));
}

TEST_F(CommandLine, read_gives_the_marks_as_json) {
    const std::string answer = write("alarms.txt", "No alarms.\nwhat?\n");
    const Ran ran = run({"read", "--json", "--profile", quillon, answer});
    EXPECT_EQ(ran.status, 65);
    const auto told = nlohmann::json::parse(ran.output)[0];
    EXPECT_EQ(told["lines"].size(), 2U);
    EXPECT_EQ(told["lines"][0]["mark"], "layout");
    EXPECT_EQ(told["lines"][1],
              (nlohmann::json{{"line", 2}, {"mark", "unread"}, {"text", "what?"}}));
    EXPECT_EQ(told["set_aside"], nlohmann::json::array());
}

TEST_F(CommandLine, read_takes_the_parameter_of_a_query) {
    const std::string answer = SLOTWITNESS_FIXTURES "/quillon/healthy/module-detail.txt";
    const auto with = [&](const std::string& parameter) {
        return run({"read", "--profile", quillon, "--parameter", parameter, answer});
    };
    EXPECT_EQ(with("module=FAB4").status, 0);
    EXPECT_THAT(with("module=FAB4").output, HasSubstr("read as module-detail FAB4"));
    EXPECT_EQ(with("module=FAB;4").status, 64);
    EXPECT_EQ(with("slot=FAB4").status, 64);
    EXPECT_EQ(with("FAB4").status, 64);
}

TEST_F(CommandLine, read_needs_one_thing_to_do) {
    const std::string answer = write("alarms.txt", "No alarms.\n");
    EXPECT_EQ(run({"read", answer}).status, 64);
    EXPECT_EQ(run({"read", "--draft", "--check", answer}).status, 64);
    EXPECT_EQ(run({"read", "--draft", "--json", answer}).status, 64);
    EXPECT_EQ(run({"read", "--draft", "--profile", quillon, answer}).status, 64);
    EXPECT_EQ(run({"read", "--profile", quillon, "--query", "nosuch", answer}).status, 64);
}

TEST_F(CommandLine, a_draft_reads_the_text_that_it_was_drafted_from) {
    const std::string answer = SLOTWITNESS_FIXTURES "/quillon/healthy/planes.txt";
    const Ran drafted = run({"read", "--draft", answer});
    ASSERT_EQ(drafted.status, 0) << drafted.output;
    const Ran ran = run({"read", "--profile", write("draft.toml", drafted.output), answer});
    EXPECT_EQ(ran.status, 65) << "the words are not mapped";
    EXPECT_THAT(ran.output, HasSubstr("6 rows; nothing unread"));
    EXPECT_EQ(run({"read", "--draft", "nosuch.txt"}).status, 66);
}

TEST_F(CommandLine, check_names_what_is_missing_and_what_is_damaged) {
    EXPECT_EQ(run({"read", "--check", (folder_ / "nosuch").string()}).status, 66);
    EXPECT_EQ(run({"read", "--check", "--profile", "nosuch.toml", folder_.string()}).status, 66);
    static_cast<void>(write("pack.json", "{}"));
    static_cast<void>(write("profile.toml", ""));
    static_cast<void>(write("events", ""));
    const Ran ran = run({"read", "--check", folder_.string()});
    EXPECT_EQ(ran.status, 65);
    EXPECT_THAT(ran.output, HasSubstr("pack.json"));
}

TEST_F(CommandLine, capture_refuses_before_it_asks) {
    static_cast<void>(write("mine", "precious"));
    const std::string file = config(whole_chassis());
    const Ran ran = run({"capture", "--config", file, "edge-7", "--to", folder_.string()});
    EXPECT_EQ(ran.status, 64);
    EXPECT_THAT(ran.output, HasSubstr("never written over"));
    EXPECT_EQ(run({"capture", "--config", file, "edge-8"}).status, 64);
    EXPECT_EQ(run({"capture", "--config", "nosuch.toml", "edge-7"}).status, 66);
}

TEST_F(CommandLine, a_file_that_is_no_journal_is_exit_65) {
    EXPECT_EQ(run({"replay", write("text", "not a journal at all")}).status, 65);
    EXPECT_EQ(run({"report", write("text", "not a journal at all")}).status, 65);
}

} // namespace
} // namespace slotwitness::program
